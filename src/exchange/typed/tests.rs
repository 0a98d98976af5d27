//! What people type, field by field, and what is refused of it.

use super::*;

pub(super) fn typed() -> Typed {
    let near = NaiveDate::from_ymd_opt(2026, 11, 26).unwrap();
    Typed::of(&Settings::new("", near), near)
}

#[test]
fn amounts_are_read_as_people_type_them() {
    for (text, amount) in [
        ("755.50", "755.50"),
        ("1,250", "1250"),
        ("1,250.00", "1250"),
        ("$45", "45"),
        ("$ 1,250.5", "1250.5"),
        ("45 USD", "45"),
        ("US$45", "45"),
        ("1.234,50", "1234.50"),
        ("1 234,50", "1234.50"),
        ("1'234.50", "1234.50"),
        ("0,5", "0.5"),
        (",5", "0.5"),
        (".5", "0.5"),
        ("1.234", "1.234"),
    ] {
        let amount: Decimal = amount.parse().unwrap();
        assert_eq!(typed().money(text), Ok(Money::new(amount)), "{text}");
    }
}

#[test]
fn what_can_be_read_two_ways_or_not_at_all_is_refused() {
    for (text, words) in [
        ("755,50", "`755,50` can be 755.50 or 75550; write 755.50 or 75550"),
        ("12,50", "`12,50` can be 12.50 or 1250; write 12.50 or 1250"),
        ("12,5 $", "`12,5` can be 12.5 or 125; write 12.5 or 125"),
        ("1,2,3", "`1,2,3` is no number; write for example 12.50"),
        ("1e5", "`1e5` is no number; write for example 12.50"),
        ("about 5", "`about 5` is no number; write for example 12.50"),
        ("12.50/sq ft", "`12.50/sq ft` is no number; write for example 12.50"),
        ("12 ft", "`12 ft` is no number; write for example 12.50"),
        ("45 EUR", "`45 EUR` is in EUR, and the project is in USD; write what it comes to in USD"),
        ("€45", "`€45` is in €, and the project is in USD; write what it comes to in USD"),
        ("5%", "`5%` is a percentage; write a number without the percent sign"),
        ("-5", "-5 is negative; write zero or more"),
        ("(5)", "-5 is negative; write zero or more"),
        ("2,000,000,000", "2000000000 is above a thousand million; check the number"),
    ] {
        assert_eq!(typed().money(text).unwrap_err().to_string(), words);
    }
    assert!(typed().number("$45").is_err(), "a number has no currency");
    assert!(typed().number("99999999999999999999999999999999999").is_err());
}

#[test]
fn percent_goes_with_its_sign_and_up_to_a_hundred() {
    for text in ["8.25", "8.25%", "8.25 %", "8.25 percent", "8.25pct"] {
        assert_eq!(typed().percent(text), Ok(Decimal::new(825, 2)), "{text}");
    }
    assert_eq!(typed().percent("500").unwrap_err(), TypedError::AboveHundred(Decimal::from(500)));
    assert!(typed().percent("$8").is_err() && typed().percent("8,25").is_err());
}

#[test]
fn days_are_counted() {
    let t = typed();
    for (text, days) in [("30", 30), ("30 days", 30), ("3 weeks", 21), ("1 week", 7), ("1,200", 1200)] {
        assert_eq!(t.days(text), Ok(days), "{text}");
    }
    for text in ["5", "5 days", "5 working days", "5 wd"] {
        assert_eq!(t.working_days::<i32>(text), Ok(5), "{text}");
    }
    assert_eq!(t.working_days::<i32>("-5"), Ok(-5));
    assert_eq!(
        t.working_days::<u32>("3 weeks").unwrap_err().to_string(),
        "`3 weeks` can be 15 or 21; write 15 or 21"
    );
    for text in ["5 working days", "in stock", "2-3 weeks", "1.5", "soon", "99999 days", ""] {
        assert!(t.days(text).is_err(), "{text}");
    }
    assert_eq!(t.whole::<u32>("-1"), Err(TypedError::Negative(Decimal::NEGATIVE_ONE)));
    assert!(t.whole::<u8>("300").is_err() && t.whole::<u8>("1.5").is_err());
    assert_eq!(t.lead("1.5 weeks").map(|l| (l.count, l.unit)), Ok((11, Some(LeadUnit::Days))));
    assert!(t.lead("1.5").is_err() && t.lead("on request").is_err());
}

/// The short date of en-US is `M/d/yy`, that of de `dd.MM.yy` and of en-GB `dd/MM/y` (CLDR 44).
#[test]
fn days_of_the_calendar_are_read_by_the_projects_order() {
    let (us, other) = (typed(), Typed { dates: DateOrder::DayFirst, ..typed() });
    let day = NaiveDate::from_ymd_opt(2026, 12, 17);
    for text in [
        "2026-12-17",
        "12/17/2026",
        "12/17/26",
        "Dec 17",
        "17 Dec",
        "december 17th",
        "Thu Dec 17, 2026",
        "Dec 17, 2026",
        "17 Dec 2026",
        "17.12.2026",
    ] {
        assert_eq!(us.date(text).ok(), day, "{text}");
        assert_eq!(other.date(text).ok(), day, "{text}");
    }
    assert_eq!(us.date("3/4/2026").ok(), NaiveDate::from_ymd_opt(2026, 3, 4));
    assert_eq!(other.date("3/4/2026").ok(), NaiveDate::from_ymd_opt(2026, 4, 3));
    // The nearest: Jan 5 is forty days ahead, and June 5 lies behind.
    assert_eq!(us.date("Jan 5").ok(), NaiveDate::from_ymd_opt(2027, 1, 5));
    assert_eq!(us.date("June 5").ok(), NaiveDate::from_ymd_opt(2026, 6, 5));
    assert_eq!(us.date("Feb 29"), Err(TypedError::NotADate("Feb 29".to_owned())));
    for text in
        ["", "soon", "Friday", "Dec", "Dec 2026", "12/17", "13/13/2026", "2026-02-29", "1899-12-31", "Dec 32"]
    {
        assert!(us.date(text).is_err(), "{text}");
    }
    assert_eq!(
        us.date("Fri Dec 17").unwrap_err().to_string(),
        "`Dec 17` is a Thu; correct the day or leave the weekday out"
    );
}

#[test]
fn the_project_says_whether_day_or_month_stands_first() {
    let mut settings = Settings::new("", typed().near);
    let euro = Currency::from_code("EUR").unwrap();
    let mut read = |dates, currency| {
        (settings.dates, settings.currency) = (dates, currency);
        Typed::of(&settings, typed().near).date("3/4/2026").map(|day| day.to_string())
    };
    assert_eq!(read(None, Currency::USD).as_deref(), Ok("2026-03-04"));
    assert_eq!(read(Some(DateOrder::DayFirst), Currency::USD).as_deref(), Ok("2026-04-03"));
    assert_eq!(read(None, euro).as_deref(), Ok("2026-04-03"));
    assert_eq!(read(Some(DateOrder::MonthFirst), euro).as_deref(), Ok("2026-03-04"));
}

#[test]
fn what_was_understood_is_said_where_it_differs() {
    let t = typed();
    let said = |kind, text: &str| t.understood(kind, text).unwrap();
    for (kind, text, words) in [
        (Kind::Date, "Dec 17", "Thu Dec 17, 2026"),
        (Kind::Money, "1.234,50", "1,234.50 USD"),
        (Kind::Percent, "8.25%", "8.25 percent"),
        (Kind::Length, "2.5 m", "8.2021 ft"),
        (Kind::Days, "3 weeks", "21 days"),
        (Kind::Lead, "6-8 wks", "8 weeks, 6 to 8"),
        (Kind::Lead, "in stock", "0 days"),
        (Kind::Quantity, "1,200", "1200"),
    ] {
        assert_eq!(said(kind, text).as_deref(), Some(words), "{text}");
    }
    for (kind, text) in [
        (Kind::Date, "2026-12-17"),
        (Kind::Money, "1250.5"),
        (Kind::Money, "1,250"),
        (Kind::Percent, "8.25"),
        (Kind::Length, "12.5"),
        (Kind::Lead, "6 weeks"),
        (Kind::Quantity, "walls * 2"),
        (Kind::Whole, ""),
    ] {
        assert_eq!(said(kind, text), None, "{text}");
    }
}

proptest::proptest! {
    /// What is said back is read as the same day.
    #[test]
    fn days_said_back_are_read_again(n in 0..109_000_i64, month_first in proptest::bool::ANY) {
        let day = crate::model::dates::FIRST_DAY + chrono::Duration::days(n);
        let dates = if month_first { DateOrder::MonthFirst } else { DateOrder::DayFirst };
        let t = Typed { dates, ..typed() };
        for form in ["%a %b %-d, %Y", "%Y-%m-%d", "%d %B %Y", "%-d.%-m.%Y", if month_first { "%m/%d/%Y" } else { "%d/%m/%Y" }] {
            proptest::prop_assert_eq!(t.date(&day.format(form).to_string()), Ok(day));
        }
        let near = Typed { near: day, ..t };
        proptest::prop_assert_eq!(near.date(&day.format("%b %-d").to_string()), Ok(day));
    }

    /// What is written is read back, with groups, sign and code, whatever the number of decimals.
    #[test]
    fn amounts_are_read_back(mantissa in 0_i64..100_000_000_000, scale in 0_u32..5) {
        let number = Decimal::new(mantissa, scale);
        proptest::prop_assume!(number <= MAX_AMOUNT);
        let money = Ok(Money::new(number.normalize()));
        let grouped = number::grouped_by(number, DecimalMark::Point);
        for text in [number.to_string(), grouped.clone(), format!("${grouped}"), format!("{grouped} USD")] {
            proptest::prop_assert_eq!(typed().money(&text), money.clone(), "{}", text);
        }
        // Nothing is scaled: with a comma for the point it is the same number or refused.
        if let Ok(other) = typed().money(&number.to_string().replace('.', ",")) {
            proptest::prop_assert!(Ok(other) == money || scale == 3, "{}", number);
        }
    }

    #[test]
    fn no_text_upsets_it(text in ".{0,30}|[0-9.,' -]{0,40}[%$a-z]{0,6}") {
        let t = typed();
        for kind in [Kind::Number, Kind::Money, Kind::Percent, Kind::Whole, Kind::Days, Kind::WorkingDays, Kind::Date, Kind::Lead, Kind::Quantity] {
            let _ = t.understood(kind, &text);
        }
    }
}
