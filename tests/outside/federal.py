"""Federal holidays of the United States by the words of 5 U.S.C. 6103, for every year alike.

Pure datetime code: the `holidays` library starts each day in the year it was introduced (Juneteenth in 2021), while the
program applies today's eleven days to all years. `check_against_library` compares the two where they mean the same.
"""

from datetime import date, timedelta

FIRST_YEAR, LAST_YEAR = 1900, 2200
DAY = timedelta(days=1)


def nth(year, month, weekday, n):
    day = date(year, month, 1)
    while day.weekday() != weekday:
        day += DAY
    return day + 7 * (n - 1) * DAY


def last_monday(year, month):
    day = date(year, month + 1, 1) - DAY
    while day.weekday() != 0:
        day -= DAY
    return day


def observed(day):
    """Saturday is kept the Friday before, Sunday the Monday after."""
    return day + {5: -DAY, 6: DAY}.get(day.weekday(), 0 * DAY)


def of_year(year):
    return {
        observed(date(year, 1, 1)),
        nth(year, 1, 0, 3),
        nth(year, 2, 0, 3),
        last_monday(year, 5),
        observed(date(year, 6, 19)),
        observed(date(year, 7, 4)),
        nth(year, 9, 0, 1),
        nth(year, 10, 0, 2),
        observed(date(year, 11, 11)),
        nth(year, 11, 3, 4),
        observed(date(year, 12, 25)),
    }


def all_years():
    """Every observed day from 1900 to 2200; New Year 1900 and 2201 bring nothing from outside."""
    days = set().union(*(of_year(y) for y in range(FIRST_YEAR, LAST_YEAR + 1)))
    return sorted(d for d in days if FIRST_YEAR <= d.year <= LAST_YEAR)


def check_against_library(first=2022, last=2100):
    import holidays

    library = holidays.country_holidays("US", years=range(first - 1, last + 2), observed=True)
    theirs = {d for d in library if d.weekday() < 5 and first <= d.year <= last}
    ours = {d for d in all_years() if first <= d.year <= last}
    assert ours == theirs, sorted(ours ^ theirs)
    return len(ours)
