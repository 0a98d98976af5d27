//! Shared by the tests of sheets and commands: a small project that uses every column, and helpers.

#![allow(dead_code, reason = "each test program uses its own part of this")]

use needline::commands::{self, Outcome};
use needline::engine;
use needline::exchange::outgoing::json::figures;
use needline::model::*;
use std::ffi::OsString;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

pub mod samples;

/// A project that has every sheet and every column in use.
pub const HOUSE: &[(&str, &str)] = &[
    (
        "settings",
        "key,value\nname,\"Two baths, one kitchen\"\nstart,2026-06-01\ntarget_finish,2026-09-30\nas_of,2026-06-08\n\
         currency,USD\nholidays,us-federal 2026-07-02\nweekdays,Mon-Fri\nhold,2\nreinspect_wait,3\nconfidence,90\n\
         contingency_pct,12.5\ntax_by,order\nunits,us\nyear_built,1962\nphone,+1 555 0199\nowner,Lee\nship_to,\"1 Plain Lane, Anytown\"\nown_cash,12500.50\nstorage,80.5\n",
    ),
    ("closed", "from,to,why\n2026-08-10,2026-08-14,family week\n"),
    (
        "rooms",
        "key,name,level,length,width,height,polygon,use\nbath,Hall bath,Upper,8,5.5,8,,bath\n\
         kitchen,Kitchen,Main,,,9,0 0; 12 0; 12 10; 6 10; 6 14; 0 14,Kitchen\n",
    ),
    (
        "openings",
        "room,kind,width,height,count\nbath,door,2.5,6.67,1\nbath,window,2,3,1\nkitchen,cased,5,7,2\n",
    ),
    (
        "crews",
        "key,name,trade,phone,email,licence,licence_until,insured_until,hire_lead\n\
         plumbers,Plumbing crew,Plumber,+1 555 0101,p@example.org,L-1,2027-01-31,2026-12-31,10\ntilers,Tile crew,Tile setter,,,,,,\n",
    ),
    (
        "crew_away",
        "crew,from,to,why\nplumbers,2026-06-16,2026-06-17,\"another house, they say\"\nplumbers,2026-07-06,,\n",
    ),
    (
        "phases",
        "key,name,trade,kind,work,role,days,days_min,days_max,not_before,actual_start,actual_finish,days_left,hazards,own_work,crew,booked_from,confirmed_on,told_on,told_start,fail_pct,correct_days\n\
         permit,Permit,Owner,milestone,,,0,,,,2026-06-01,2026-06-01,,,,,,,,,,\n\
         demo,Demolition,Demo crew,work,demolition,plain,4,3,6,,2026-06-02,,2,lead asbestos,yes,,,,,,,\n\
         rough,Rough plumbing,Plumber,work,rough_plumbing,in_wall,4,,,2026-06-15,,,,,,plumbers,2026-06-15,,,,,\n\
         rough_ok,Plumbing sign-off,Inspector,inspection,rough_plumbing,,1,,,,,,,,,,,,,,25,4\n\
         tile,Tile setting,Tile setter,work,,cover_up,5,4,8,,,,,silica,,tilers,2026-06-29,2026-06-05,2026-06-08,2026-06-30,,\n\
         finish,Finish plumbing,Plumber,work,finish_plumbing,template,2,,,,,,,none,,,,,,,,\n",
    ),
    (
        "links",
        "before,after,type,lag,lag_unit\npermit,demo,FS,0,working\ndemo,rough,ss,2,working\nrough,rough_ok,FS,,\n\
         rough_ok,tile,FS,3,elapsed\ntile,finish,FF,1,working\n",
    ),
    (
        "attempts",
        "phase,date,result,note,correct_by\nrough_ok,2026-06-05,failed,\"vent, too low\",2026-06-09\nrough_ok,2026-06-19,booked,,\n",
    ),
    ("missed", "phase,date,why\ndemo,2026-06-04,\"truck broke, they say\"\ndemo,2026-06-05,\n"),
    (
        "permits",
        "key,name,number,applied_on,issued_on,expires_on,phases\nbuilding,Building permit,B-0117,2026-05-04,2026-06-01,2026-12-01,demo; tile\n\
         electrical,Electrical permit,,2026-06-02,,,rough\n",
    ),
    (
        "punch",
        "key,room,crew,what,picture,found_on,due,done_on,checked_on\n\
         sill,bath,plumbers,\"Sill, left: scratched\",house_pictures/sill.png,2026-06-03,2026-06-10,2026-06-08,2026-06-09\n\
         latch,,,Gate does not latch,,,,,\n",
    ),
    (
        "handover",
        "part,serial,warranty_until,manual,note\n\
         shower_body,00-17,2031-06-26,house_manuals/body.pdf,\"turn off below\ntwo valves\"\n\
         tile_grout,,,https://example.org/grout?a=1,\n",
    ),
    (
        "out_of_use",
        "room,service,from_phase,to_phase\nbath,,demo,tile\nkitchen,,rough,\n,Water,rough,rough_ok\n,power,demo,\n",
    ),
    (
        "suppliers",
        "key,name,weekdays,delivery_weekdays,ship_days,tax_pct,freight_flat,freight_per_item,freight_pct,\
         freight_free_over,freight_taxed,deposit_pct,net_days,min_order,restock_pct,return_days,phone,email,contact,account,ship_note\n\
         stone,Stone & Tile yard,Mon-Sat,Tue Thu,3,8.875,89.00,0.25,1.5,2500,yes,50,0,150.00,15,30,+1 555 0100,orders@example.org,Pat,A-1207,Call before unloading\n\
         pipes,Pipe house,Mon-Fri,,1,7,0,0,0,,no,0,30,,0,,,,,,\n",
    ),
    ("supplier_closed", "supplier,from,to,why\nstone,2026-07-20,2026-07-31,summer\n"),
    (
        "selections",
        "key,room,category,name,allowance,decide_on,notes\n\
         shower,bath,Plumbing,Shower set,900,,\"keeps the old drain\nask about the arm\"\n\
         wall_tile,bath,Tile,Wall tile,1500,2026-06-12,\n\
         sink,kitchen,Plumbing,Kitchen sink,600,,\n\
         floor,kitchen,Flooring,Kitchen floor,3000,,\n",
    ),
    (
        "options",
        "selection,key,name,finish,state,notes,link,picture,approved_by,approved_on\n\
         shower,shower_a,Set A,brass,chosen,\"seen twice, heavy\",https://example.org/set?a=1,house_pictures/shower_a.jpg,\"Pat, at home\",2026-05-30\n\
         shower,shower_b,Set B,steel,candidate,,,,,\nwall_tile,tile_a,Field tile,sage gloss,leaning,,,,,\n\
         sink,sink_a,Single bowl,white,candidate,,,,,\nfloor,floor_a,Oak boards,natural oil,Chosen,,,,,\n",
    ),
    ("finishes", "finish,color\nbrass,#b5893d\nSage gloss,#A3AD94\n"),
    (
        "parts",
        "option,key,name,supplier,phase,at,quantity,unit,pack,waste_pct,unit_price,discount_pct,taxable,lead,lead_unit,\
         lead_min,lead_max,hold,ordered_on,promised_on,received_on,installed_on,paid,in_wall,laying,order,article,goods,order_after,order_after_days,floor_area\n\
         shower_a,shower_body,In-wall body,pipes,rough,start,1,each,,,214.35,10,yes,3,weeks,2,6,,2026-06-03,2026-06-26,,,50,yes,,first,PB-1001,,,,\n\
         shower_a,shower_trim,Trim,pipes,finish,finish,1,each,,,389.99,,yes,60,days,,,0,,,,,,no,,,,special_finish,tile,4,2.5\n\
         shower_b,shower_b_all,Whole set,pipes,rough,start,1,each,,,512,,yes,10,working,,,,2026-06-02,,,,,,,,'=PB 2,,,,\n\
         tile_a,tile_field,Field tile,stone,tile,start,\"band(0,7)\",sq ft,5.38,10,7.125,0,yes,8,weeks,6,12,5,,,,,,,herringbone,,00123,,,,14\n\
         tile_a,tile_grout,Grout,stone,tile,start,walls(32)/90+1,bag,1,,24.5,,no,5,working,,,,2026-06-01,,2026-06-04,2026-06-05,24.5,,,,,,,,0\n\
         sink_a,sink_bowl,Bowl,,finish,start,1,each,,,,,yes,,days,,,,,,,,,,,,,toilets_sinks,,,\n\
         floor_a,floor_oak,Oak boards,,,start,sqft(floor),sq ft,20,7.5,9.19,0,yes,21,days,,,,,,,,,,,,,,,,40\n",
    ),
    (
        "specs",
        "selection,what,phase,part,days_before,told_on,told_to,fact,told,told_for\n\
         sink,\"cut-out, and where the disposer goes\",finish,,2,,,width,,\n\
         sink,drain height,rough,,,2026-06-05,the plumber,depth,8 in,sink_a\n\
         shower,which trim fits,,shower_body,1,,,,,\n",
    ),
    (
        "typical",
        "goods,lead,lead_unit,lead_min,lead_max\ntoilets_sinks,3,weeks,2,5\nspecial_finish,40,working,30,60\n",
    ),
    (
        "quotes",
        "key,phase,trade,scope,amount,allowance,state,paid,leaves_out,also,crew,starts_on,days,valid_until\nq1,rough,Plumber,Rough and finish,4200,4000,accepted,1000,the permit,finish; tile,plumbers,2026-06-15,6,2026-07-31\n\
         q2,rough,Other plumber,Rough and finish,5100,,candidate,,,,,,,\n",
    ),
    ("left_out", "quote,what,amount\nq1,\"patching, all of it\",350\nq1,haul-off,\n"),
    (
        "installments",
        "quote,what,pct,amount,due_on,phase,at,paid_on,paid,waiver_on\n\
         q1,deposit,10,,2026-06-02,,,2026-06-03,400,2026-06-05\nq1,rough done,,1500,,rough_ok,passed,,,\n\
         q1,held back,10,,,finish,,,,\n",
    ),
    (
        "changes",
        "key,what,decision,phase,days,amount,found_on,agreed_by,agreed_on,picture,paid\n\
         joist,\"Sister a joist, cut before\",,demo,1,640,2026-06-03,Lee,2026-06-04,photos/joist.jpg,200\n\
         match,Match the texture,texture,tile,,,2026-06-05,,,,\nredo,Redo the texture,texture,tile,2,900,2026-06-05,,,,\n",
    ),
    (
        "risks",
        "key,what,phase,chance_pct,cost_min,cost_likely,cost_max,days_min,days_likely,days_max\n\
         rot_below,\"Rot below the tub, maybe\",tile,30,200,600,1800,1,2,6\nfee,Another fee,,12.5,,75.50,,,,\n",
    ),
    (
        "alternatives",
        "key,name,note,options\nplain,\"Plain, and soon\",Ask the plumber,shower_b; tile_a\nnothing,Nothing yet,,\n",
    ),
    (
        "extras",
        "key,name,kind,phase,amount,paid\npermit_fee,Building permit,permit,permit,385.50,385.50\nrot,Rotten joist,extra,demo,640,\n",
    ),
    (
        "facts",
        "option,part,name,value\nshower_a,,finish family,=warm brass\nshower_a,,flow,1.8 gpm\n,shower_body,depth,3-1/4 in\n\
         sink_a,,width,33 in\nfloor_a,,over heat,yes\n",
    ),
    (
        "rules",
        "key,name,kind,selection,room,fact,other,other_fact,value,tolerance,why\n\
         flow,Shower water,at_most,,,flow,,,2.5 gpm,,federal limit\n\
         body,Body fits the wall,within,shower,,depth,,,3.5 in,0.5 in,\n\
         one_finish,One finish,same_in_room,,bath,finish family,,,,,\n\
         sink_floor,Sink by the floor,equal,sink,,width,floor,span,,,\"odd, but allowed\"\n",
    ),
    (
        "swaps",
        "key,selection,on,from,to,why,reverses,forecast_before,forecast_after,forecast_returned,finish_before,\
         finish_after,restocking,return_freight,deposit_lost,knock_ons\n\
         first,shower,2026-06-03,shower_b,shower_a,\"-steel dents\nthey say\",,9000,9100.5,9050,2026-09-01,2026-09-02,76.8,18.5,5,\n\
         back,shower,2026-06-04,shower_a,shower_b,,first,9100.5,9000,9000,,,,,,\n\
         again,shower,2026-06-05,shower_b,shower_a,,,9000,9100.5,9050,,,,,,\"the wall is open\nthe trim, too\"\n",
    ),
    (
        "returns",
        "part,state,restock_pct,freight,deposit_lost,went_back_on,credit,note\n\
         shower_b_all,went_back,12.5,18.5,5,2026-06-04,20,\"took, a week\"\n",
    ),
    (
        "orders",
        "key,supplier,number,placed_on,freight,note\nfirst,pipes,P-118,2026-06-03,0.00,\"by phone, twice\"\n\
         later,stone,,,,\n",
    ),
    (
        "deliveries",
        "part,on,quantity,damaged,reported_on,replacement_lead,replacement_on,rest_on,note\n\
         tile_grout,2026-06-03,2,1,2026-06-04,2,2026-06-09,2026-06-08,\"one bag, torn\"\n\
         tile_grout,2026-06-04,1.5,,,,,,\n",
    ),
    (
        "payments",
        "order,part,on,amount,kind,note\nfirst,,2026-06-03,25,deposit,card\n,tile_grout,2026-06-05,1.00,,\n",
    ),
    (
        "gates",
        "key,phase,name,source\nbefore_tile,tile,Walls may close,\"IRC R109.1.2, rough work\"\n\
         before_rough,rough,Bodies on site,common practice\n",
    ),
    (
        "conditions",
        "gate,need,phase,selection,part,scope,what,who,by,said_by,said_on\n\
         before_tile,finished,rough_ok,,,,,Plumber,2026-06-26,,\n\
         before_tile,built_in,,shower,,so_far,,,,,\n\
         before_tile,on_site,,,tile_grout,,,,,,\n\
         before_tile,confirmed,,,,,fan route to the outdoors,HVAC,2026-06-19,,\n\
         before_tile,confirmed,,,,,blocking for the rail,Carpenter,,\"Ann, carpenter\",2026-06-05\n\
         before_rough,on_site,rough,,,,,,,,\n",
    ),
    (
        "corrections",
        "phase,found,what,trade,fix_phase,due,done\n\
         rough_ok,2026-06-05,raise the vent,Plumber,rough,2026-06-12,\n\
         rough_ok,2026-06-05,nail plate at the sill,,,,2026-06-08\n",
    ),
    (
        "draws",
        "key,name,amount,phase,gate,days_after,received_on,received\nfirst,At closing,10000,,,0,2026-06-01,9900\n\
         second,Roughs passed,8000,,before_tile,7,,\nlast,Done,4000,finish,,14,,\n",
    ),
    (
        "log",
        "on,what,cause,phase,selection,part,finish_before,finish_after,total_before,total_after\n\
         2026-06-02,\"choose Set A, for Shower set\",decision,,shower,,2026-09-10,2026-09-12,9000,9100.50\n\
         2026-06-05,missed day of Demolition,Trade,demo,,shower_body,2026-09-12,,9100.50,9050\n",
    ),
    (
        "kept_plans",
        "key,name,on,finish,total,lines\nagreed,Agreed at the table,2026-06-03,2026-09-12,9100.50,1\n",
    ),
    (
        "kept_phases",
        "plan,phase,start,finish\nagreed,demo,2026-06-02,2026-06-08\nagreed,tile,2026-06-29,2026-07-08\n",
    ),
    ("kept_rooms", "plan,room,total\nagreed,bath,4100.25\n"),
    (
        "mappings",
        "key,supplier,into,decimal,dates,lead_unit\npipes_list,pipes,prices,comma,day,weeks\nwishes,,selections,,,\n",
    ),
    (
        "mapping_columns",
        "mapping,heading,field\npipes_list,Artikelnummer,article\npipes_list,\"Preis, netto\",unit_price\n\
         pipes_list,Lieferzeit,lead\nwishes,Raum,room\nwishes,'=Was,selection\n",
    ),
    (
        "sent",
        "calendar,whose,uid,form,day,until,title,sequence,on,digest\n\
         lists,pipes,needline-order-by-todo-1,todo,2026-06-05,,'=Order the tub,4,2026-06-02,a1\n\
         crew,lees,needline-crew-event-2,event,2026-06-02,2026-06-08,Demolition,1,2026-06-01,b2\n\
         week,,needline-week-event-3,,2026-06-09,,Call,0,2026-06-01,c3\n",
    ),
];

/// Writes sheets as CSV files.
pub fn write_sheets(folder: &Path, sheets: &[(&str, &str)]) {
    fs::create_dir_all(folder).unwrap();
    for (name, text) in sheets {
        fs::write(folder.join(format!("{name}.csv")), text).unwrap();
    }
}

/// The sheets of [`HOUSE`] with one of them replaced or added.
pub fn house_with<'a>(name: &'a str, text: &'a str) -> Vec<(&'a str, &'a str)> {
    let mut sheets: Vec<(&str, &str)> = HOUSE.iter().copied().filter(|(n, _)| *n != name).collect();
    sheets.push((name, text));
    sheets
}

/// The folders of sheets that come with the program; none before they are written.
pub fn sample_folders() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample_projects");
    let Ok(entries) = fs::read_dir(root) else { return Vec::new() };
    let mut folders: Vec<PathBuf> =
        entries.map(|e| e.unwrap().path()).filter(|p| p.join("settings.csv").is_file()).collect();
    folders.sort();
    folders
}

/// Runs a command; its exit code, output and errors.
pub fn run(args: &[&dyn AsRef<std::ffi::OsStr>]) -> (u8, String, String) {
    let args: Vec<OsString> = args.iter().map(|a| a.as_ref().to_owned()).collect();
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let Outcome::Exit(code) = commands::run_with(args, &mut out, &mut err) else {
        panic!("a command opened the window")
    };
    (code, String::from_utf8(out).unwrap(), String::from_utf8(err).unwrap())
}

/// All figures of a project on its own day as JSON text.
pub fn figures_text(project: &Project) -> String {
    let as_of = project.settings.as_of.unwrap_or(project.settings.start);
    let figures = engine::compute(project, as_of);
    figures::to_text(project, &figures, &engine::problems(project, &figures)).unwrap()
}

/// The project with its numbers given anew, sheet by sheet and row by row.
pub fn renumbered(project: &Project) -> Project {
    let mut new = project.clone();
    new.next_id = 1;
    let mut next = 0;
    let mut id = || {
        next += 1;
        next
    };
    let rooms: Vec<Room> = project.rooms.iter().map(|r| Room { id: RoomId(id()), ..r.clone() }).collect();
    let crews: Vec<Crew> = project.crews.iter().map(|c| Crew { id: CrewId(id()), ..c.clone() }).collect();
    let crew = |old: CrewId| crews[project.crews.iter().position(|c| c.id == old).unwrap()].id;
    let phases: Vec<Phase> = project
        .phases
        .iter()
        .map(|p| Phase { id: PhaseId(id()), crew: p.crew.map(crew), ..p.clone() })
        .collect();
    let phase = |old: PhaseId| phases[project.phases.iter().position(|p| p.id == old).unwrap()].id;
    let links: Vec<Link> = project
        .links
        .iter()
        .map(|l| Link { id: LinkId(id()), before: phase(l.before), after: phase(l.after), ..l.clone() })
        .collect();
    let permits = project.permits.iter().map(|p| Permit {
        id: PermitId(id()),
        phases: p.phases.iter().copied().map(phase).collect(),
        ..p.clone()
    });
    new.permits = Arc::new(permits.collect());
    let suppliers: Vec<Supplier> =
        project.suppliers.iter().map(|s| Supplier { id: SupplierId(id()), ..s.clone() }).collect();
    let supplier =
        |old: SupplierId| suppliers[project.suppliers.iter().position(|s| s.id == old).unwrap()].id;
    let order_ids: Vec<OrderId> = project.orders.iter().map(|_| OrderId(id())).collect();
    let room = |old: RoomId| rooms[project.rooms.iter().position(|r| r.id == old).unwrap()].id;
    let mut selections: Vec<Selection> = project.selections.iter().map(|s| s.as_ref().clone()).collect();
    for s in &mut selections {
        (s.id, s.room) = (SelectionId(id()), room(s.room));
    }
    selections.iter_mut().flat_map(|s| &mut s.options).for_each(|o| o.id = OptionId(id()));
    for p in selections.iter_mut().flat_map(|s| &mut s.options).flat_map(|o| &mut o.parts) {
        p.id = PartId(id());
        (p.phase, p.supplier) = (p.phase.map(phase), p.supplier.map(supplier));
        p.order_after = p.order_after.map(phase);
    }
    let quotes = project.quotes.iter().map(|q| Quote {
        id: QuoteId(id()),
        phase: q.phase.map(phase),
        also: q.also.iter().copied().map(phase).collect(),
        crew: q.crew.map(crew),
        installments: q
            .installments
            .iter()
            .map(|i| Installment { phase: i.phase.map(phase), ..i.clone() })
            .collect(),
        ..q.clone()
    });
    new.quotes = Arc::new(quotes.collect());
    let changes =
        project.changes.iter().map(|c| Change { id: ChangeId(id()), phase: c.phase.map(phase), ..c.clone() });
    new.changes = Arc::new(changes.collect());
    let risks =
        project.risks.iter().map(|r| Risk { id: RiskId(id()), phase: r.phase.map(phase), ..r.clone() });
    new.risks = Arc::new(risks.collect());
    let option = |old: OptionId| {
        let both = project.selections.iter().zip(&selections);
        let mut both = both.flat_map(|(was, is)| was.options.iter().zip(&is.options));
        both.find(|(was, _)| was.id == old).unwrap().1.id
    };
    let alternatives = project.alternatives.iter().map(|a| Alternative {
        id: AlternativeId(id()),
        options: a.options.iter().map(|old| option(*old)).collect(),
        ..a.clone()
    });
    new.alternatives = Arc::new(alternatives.collect());
    let extras =
        project.extras.iter().map(|e| Extra { id: ExtraId(id()), phase: e.phase.map(phase), ..e.clone() });
    new.extras = Arc::new(extras.collect());
    let selection =
        |old: SelectionId| selections[project.selections.iter().position(|s| s.id == old).unwrap()].id;
    let pairs = |of: fn(&Selection) -> Vec<u32>| -> std::collections::HashMap<u32, u32> {
        let old = project.selections.iter().flat_map(|s| of(s));
        old.zip(selections.iter().flat_map(of)).collect()
    };
    let options = pairs(|s| s.options.iter().map(|o| o.id.0).collect());
    let parts = pairs(|s| s.options.iter().flat_map(|o| o.parts.iter().map(|p| p.id.0)).collect());
    let rules = project.rules.iter().map(|r| Rule {
        id: RuleId(id()),
        of: match r.of {
            RuleOf::Selection(s) => RuleOf::Selection(selection(s)),
            RuleOf::Room(old) => RuleOf::Room(room(old)),
            RuleOf::House => RuleOf::House,
        },
        with: r.with.clone().map(|with| match with {
            RuleWith::Fact(s, fact) => RuleWith::Fact(selection(s), fact),
            value @ RuleWith::Value(_) => value,
        }),
        ..r.clone()
    });
    new.rules = Arc::new(rules.collect());
    let mut swaps: Vec<Swap> = Vec::new();
    for s in project.swaps.iter() {
        let reverses =
            s.reverses.map(|old| swaps[project.swaps.iter().position(|s| s.id == old).unwrap()].id);
        let (from, to) = (OptionId(options[&s.from.0]), OptionId(options[&s.to.0]));
        let (id, selection) = (SwapId(id()), selection(s.selection));
        swaps.push(Swap { id, selection, from, to, reverses, ..s.clone() });
    }
    new.swaps = Arc::new(swaps);
    let returns = project.returns.iter().map(|r| Return {
        id: ReturnId(id()),
        part: PartId(parts[&r.part.0]),
        ..r.clone()
    });
    new.returns = Arc::new(returns.collect());
    let part = |old: &PartId| PartId(parts[&old.0]);
    let order = |old: OrderId| order_ids[project.orders.iter().position(|o| o.id == old).unwrap()];
    let orders = project.orders.iter().map(|o| Order {
        id: order(o.id),
        supplier: supplier(o.supplier),
        parts: o.parts.iter().map(part).collect(),
        ..o.clone()
    });
    new.orders = Arc::new(orders.collect());
    let deliveries = project.deliveries.iter().map(|d| Delivery {
        id: DeliveryId(id()),
        part: part(&d.part),
        ..d.clone()
    });
    new.deliveries = Arc::new(deliveries.collect());
    let payments = project.payments.iter().map(|p| Payment {
        id: PaymentId(id()),
        of: match p.of {
            PaidFor::Order(old) => PaidFor::Order(order(old)),
            PaidFor::Part(old) => PaidFor::Part(part(&old)),
        },
        ..p.clone()
    });
    new.payments = Arc::new(payments.collect());
    let moved = |place: &dyn Fn(&Part) -> bool| {
        project.all_parts().position(|(_, _, p)| place(p)).map(|at| {
            let mut parts = selections.iter().flat_map(|s| &s.options).flat_map(|o| &o.parts);
            parts.nth(at).unwrap().id
        })
    };
    let need = |old: &Need| match old {
        Need::Finished(id) => Need::Finished(phase(*id)),
        Need::PartsOf { phase: id, presence } => Need::PartsOf { phase: phase(*id), presence: *presence },
        Need::Selection { selection, scope, presence } => {
            let at = project.selections.iter().position(|s| s.id == *selection).unwrap();
            Need::Selection { selection: selections[at].id, scope: *scope, presence: *presence }
        }
        Need::Part { part, presence } => {
            Need::Part { part: moved(&|p| p.id == *part).unwrap(), presence: *presence }
        }
        confirmed @ Need::Confirmed { .. } => confirmed.clone(),
    };
    let mut gates: Vec<Gate> =
        project.gates.iter().map(|g| Gate { id: GateId(id()), phase: phase(g.phase), ..g.clone() }).collect();
    for condition in gates.iter_mut().flat_map(|g| &mut g.conditions) {
        condition.id = ConditionId(id());
        condition.need = need(&condition.need);
    }
    let corrections = project.corrections.iter().map(|c| Correction {
        id: CorrectionId(id()),
        phase: phase(c.phase),
        fix_phase: c.fix_phase.map(phase),
        ..c.clone()
    });
    new.corrections = Arc::new(corrections.collect());
    let gate = |old: GateId| gates[project.gates.iter().position(|g| g.id == old).unwrap()].id;
    let draws = project.draws.iter().map(|d| Draw {
        id: DrawId(id()),
        phase: d.phase.map(phase),
        gate: d.gate.map(gate),
        ..d.clone()
    });
    new.draws = Arc::new(draws.collect());
    let out_of_use = project.out_of_use.iter().map(|o| OutOfUse {
        id: OutOfUseId(id()),
        room: o.room.map(|old| rooms[project.rooms.iter().position(|r| r.id == old).unwrap()].id),
        from_phase: phase(o.from_phase),
        to_phase: o.to_phase.map(phase),
        ..o.clone()
    });
    new.out_of_use = Arc::new(out_of_use.collect());
    let punch = project.punch.iter().map(|p| Punch {
        id: PunchId(id()),
        room: p.room.map(room),
        crew: p.crew.map(crew),
        ..p.clone()
    });
    new.punch = Arc::new(punch.collect());
    let handover = project.handover.iter().map(|h| Handover {
        id: HandoverId(id()),
        part: PartId(parts[&h.part.0]),
        ..h.clone()
    });
    new.handover = Arc::new(handover.collect());
    let plans = project.kept_plans.iter().map(|p| KeptPlan {
        id: PlanId(id()),
        phases: p.phases.iter().map(|k| KeptPhase { phase: phase(k.phase), ..*k }).collect(),
        rooms: p.rooms.iter().map(|k| KeptRoom { room: room(k.room), ..*k }).collect(),
        ..p.clone()
    });
    new.kept_plans = Arc::new(plans.collect());
    let selection =
        |old: SelectionId| selections[project.selections.iter().position(|s| s.id == old).unwrap()].id;
    let log = project.log.iter().map(|line| {
        Arc::new(LogLine {
            phase: line.phase.map(phase),
            selection: line.selection.map(selection),
            part: line.part.map(|old| PartId(parts[&old.0])),
            ..line.as_ref().clone()
        })
    });
    new.log = Arc::new(log.collect());
    let mappings = project.mappings.iter().map(|m| Mapping {
        id: MappingId(id()),
        supplier: m.supplier.map(supplier),
        ..m.clone()
    });
    new.mappings = Arc::new(mappings.collect());
    new.gates = Arc::new(gates);
    for spec in selections.iter_mut().flat_map(|s| &mut s.specs) {
        spec.phase = spec.phase.map(phase);
        spec.part = spec.part.map(|old| PartId(parts[&old.0]));
        spec.told_for = spec.told_for.map(|old| OptionId(options[&old.0]));
    }
    new.selections = Arc::new(selections.into_iter().map(Arc::new).collect());
    new.crews = Arc::new(crews);
    (new.rooms, new.phases, new.links, new.suppliers) =
        (Arc::new(rooms), Arc::new(phases), Arc::new(links), Arc::new(suppliers));
    new.next_id = id();
    new
}
