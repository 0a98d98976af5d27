//! The house in use as JSON.

use super::figures::Names;
use crate::engine::Figures;
use crate::engine::in_use::{Closing, Level, Most, Out, Outage, RoomOut, Span, Stored};
use crate::exchange::cell::number;
use crate::model::{Project, RoomId};
use serde::Serialize;

/// The days on which something is missed.
#[derive(Debug, Serialize)]
pub(super) struct InUseJson {
    out: Vec<OutageJson>,
    rooms: Vec<RoomOutJson>,
}

/// Something that is missed: a use, a service, or a room of another use.
#[derive(Debug, Serialize)]
struct OutageJson {
    kind: &'static str,
    what: String,
    plan: Vec<SpanJson>,
    forecast: Vec<SpanJson>,
}

/// A room that is out of use on some days, whether or not another of its use is left.
#[derive(Debug, Serialize)]
struct RoomOutJson {
    room: String,
    #[serde(rename = "use")]
    used_as: &'static str,
    plan: Vec<SpanJson>,
    forecast: Vec<SpanJson>,
}

#[derive(Debug, Serialize)]
struct SpanJson {
    from: String,
    to: String,
}

/// What lies stored.
#[derive(Debug, Serialize)]
pub(super) struct StorageJson {
    floor: String,
    most: Option<MostJson>,
    full: Vec<FullJson>,
    levels: Vec<LevelJson>,
    undated: usize,
}

/// A day and what lies there; `at_least` where nobody has said what some of it takes.
#[derive(Debug, Serialize)]
struct MostJson {
    on: String,
    area: String,
    at_least: bool,
    unknown: usize,
    parts: Vec<String>,
}

#[derive(Debug, Serialize)]
struct FullJson {
    from: String,
    to: String,
    most: MostJson,
}

#[derive(Debug, Serialize)]
struct LevelJson {
    from: String,
    to: String,
    area: String,
    unknown: usize,
}

/// An ordered part that can no longer go back when it is used.
#[derive(Debug, Serialize)]
pub(super) struct ClosingJson {
    part: String,
    came: String,
    on_site: bool,
    last: String,
    used: String,
}

fn spans(spans: &[Span]) -> Vec<SpanJson> {
    spans.iter().map(|s| SpanJson { from: s.from.to_string(), to: s.to.to_string() }).collect()
}

fn room_key(project: &Project, id: RoomId) -> String {
    project.room(id).map_or(String::new(), |room| room.key.clone())
}

/// The days without a room or a service.
pub(super) fn in_use(project: &Project, figures: &Figures) -> InUseJson {
    let outage = |o: &Outage| {
        let (kind, what) = match o.what {
            Out::Use(of) => ("use", of.word().to_owned()),
            Out::Service(service) => ("service", service.word().to_owned()),
            Out::Room(id) => ("room", room_key(project, id)),
        };
        OutageJson { kind, what, plan: spans(&o.plan), forecast: spans(&o.forecast) }
    };
    let room = |r: &RoomOut| RoomOutJson {
        room: room_key(project, r.room),
        used_as: project.room(r.room).map_or("", |room| room.used_as.word()),
        plan: spans(&r.plan),
        forecast: spans(&r.forecast),
    };
    InUseJson {
        out: figures.in_use.out.iter().map(outage).collect(),
        rooms: figures.in_use.rooms.iter().map(room).collect(),
    }
}

/// What lies stored; `None` where nobody has said how much floor there is for it.
pub(super) fn storage(names: &Names<'_>, figures: &Figures) -> Option<StorageJson> {
    let most = |most: &Most| MostJson {
        on: most.on.to_string(),
        area: number(most.area),
        at_least: most.unknown > 0,
        unknown: most.unknown,
        parts: most.parts.iter().map(|at| names.part_key(*at)).collect(),
    };
    let level = |l: &Level| LevelJson {
        from: l.days.from.to_string(),
        to: l.days.to.to_string(),
        area: number(l.area),
        unknown: l.unknown,
    };
    let stored: &Stored = figures.in_use.stored.as_ref()?;
    let full = stored.full.iter().map(|full| FullJson {
        from: full.days.from.to_string(),
        to: full.days.to.to_string(),
        most: most(&full.most),
    });
    Some(StorageJson {
        floor: number(stored.floor),
        most: stored.most.as_ref().map(most),
        full: full.collect(),
        levels: stored.levels.iter().map(level).collect(),
        undated: stored.undated,
    })
}

/// Ordered parts that can no longer go back when they are used.
pub(super) fn closing(names: &Names<'_>, figures: &Figures) -> Vec<ClosingJson> {
    let one = |c: &Closing| ClosingJson {
        part: names.part_key(c.part),
        came: c.came.to_string(),
        on_site: c.on_site,
        last: c.last.to_string(),
        used: c.used.to_string(),
    };
    figures.in_use.closing.iter().map(one).collect()
}
