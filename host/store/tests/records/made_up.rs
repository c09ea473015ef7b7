//! Random gyms that are right: any text in every text, any of the fields that may be missing missing.

use std::collections::BTreeMap;

use classwright_store::record::{
    AthleteRecord, AthleteRecords, BarsRecord, BestRecord, ClassRecord, GymRecords, HomeRecord, KitKindRecord,
    KitOutRecord, KitRecord, LimitationRecord, LimitsRecord, MovementRecord, OutRecord, PlateChangeRecord,
    PlatesOutRecord, PlatesRecord, RulesRecord, SecondsRecord, ShelfRecord, StockRecord,
};
use proptest::collection::{btree_map, vec};
use proptest::option::of;
use proptest::prelude::*;
use proptest::sample::{select, subsequence};
use serde_json::{Map, Value};

/// Any text with signs that TOML, CSV and JSON each have their own thoughts about.
fn text() -> impl Strategy<Value = String> {
    prop_oneof!["[a-zA-Z0-9 ,;'\"#=\\[\\]{}\\\\\n\r\tßé\u{2028}\u{1f3cb}\u{1}\u{7f}-]{1,24}", "\"{1,4}", "'{1,4}"]
        .prop_map(|text| text.trim().to_owned())
        .prop_filter("not blank", |text| !text.is_empty())
}

/// Names of files.
fn file_id() -> impl Strategy<Value = String> {
    "[a-zA-Z0-9 _,;'=é-]{1,16}"
        .prop_map(|text| text.trim().to_owned())
        .prop_filter("not blank", |text| !text.is_empty())
}

fn mass() -> impl Strategy<Value = String> {
    (1..99_999_u32, select(&["kg", "lb", "lbs", " kg"][..]))
        .prop_map(|(hundredths, unit)| format!("{}.{:02}{unit}", hundredths / 100, hundredths % 100))
}

fn day() -> impl Strategy<Value = String> {
    (1990..2090_u32, 1..=12_u32, 1..=28_u32).prop_map(|(year, month, day)| format!("{year}-{month:02}-{day:02}"))
}

fn time() -> impl Strategy<Value = String> {
    prop_oneof![
        (1..600_u32).prop_map(|s| format!("{s} s")),
        (0..9_u32, 1..60_u32).prop_map(|(m, s)| format!("{m}:{s:02}"))
    ]
}

fn rules() -> impl Strategy<Value = RulesRecord> {
    let change = (of(time()), of(time())).prop_map(|(fixed, a_pair)| PlateChangeRecord { fixed, a_pair });
    (of(1..200_u32), of(1..50_u32), of(time()), of(change), of(time()), of(0..1_000_000_000_u64)).prop_map(
        |(coach_span, max_heats, heats_start_every, plate_change, between_parts, effort)| RulesRecord {
            coach_span,
            max_heats,
            heats_start_every,
            plate_change,
            between_parts,
            effort,
        },
    )
}

/// With two bars or more, five pairs of plates of 10 kg in service, five mats: what classes may take out.
fn kit() -> impl Strategy<Value = KitRecord> {
    let stock = (select(&["row machine", "kettlebell", "rack"][..]), of(mass()), 2..50_u32, 0..2_u32)
        .prop_map(|(kind, mass, count, out_of_service)| StockRecord { kind: kind.into(), mass, count, out_of_service });
    (of(any::<bool>()), mass(), of(5..20_u32), text(), mass(), 2..20_u32, any::<bool>(), of(stock), 0..3_u32).prop_map(
        |(collars_counted, collar, collars, name, mass, count, named, stock, out)| {
            let ids: Vec<String> = (0..count).map(|n| format!("{name} {n}")).collect();
            let bar = BarsRecord {
                bar_type: "bar".into(),
                name,
                mass,
                count,
                out_of_service: if named { ids[..1].to_vec() } else { Vec::new() },
                ids: named.then_some(ids),
            };
            let plate = PlatesRecord { mass: "10 kg".into(), pairs: 5 + out, out_of_service: out };
            let mats = StockRecord { kind: "mat".into(), mass: None, count: 5 + out, out_of_service: out };
            KitRecord {
                collars_counted,
                collar: Some(collar),
                collars,
                bar: vec![bar],
                plate: vec![plate],
                kit: stock.into_iter().chain([mats]).collect(),
            }
        },
    )
}

fn seconds() -> impl Strategy<Value = SecondsRecord> {
    let three = || (0.001..10.0, 0.0..10.0, 0.0..10.0).prop_map(|(a, b, c): (f64, f64, f64)| [a + b, a, a + b + c]);
    (three(), of(three()), of(three()), of(three())).prop_map(|(rep, metre, calorie, second)| SecondsRecord {
        rep: Some(rep),
        metre,
        calorie,
        second,
    })
}

fn movement(n: usize) -> impl Strategy<Value = MovementRecord> {
    let grades = btree_map(select(&["neck", "hip", "lower-back"][..]).prop_map(String::from), 0..=3_u32, 0..3);
    let easier = || subsequence(vec!["push-up".to_owned(), "air squat".into()], 0..1);
    (grades, seconds(), 1..=5_u32, vec(text(), 0..3), vec(text(), 0..3), easier(), 1..9_u32).prop_map(
        move |(demand, seconds, skill, cues, faults, progressed_from, mats)| MovementRecord {
            id: format!("own-{n}"),
            name: format!("own no {n}"),
            aliases: (0..n).map(|other| format!("also {n} and {other}")).collect(),
            patterns: vec!["hinge".into()],
            demand,
            kit: BTreeMap::from([("mat".to_owned(), mats)]),
            load: "none".into(),
            sides: "each".into(),
            seconds,
            skill,
            progressed_from,
            regressed_to: Vec::new(),
            cues,
            faults,
        },
    )
}

fn athlete() -> impl Strategy<Value = AthleteRecords> {
    let tag = text().prop_map(|tag| tag.replace(';', ",").trim().to_owned());
    let share = (1..=100_u32).prop_map(|share| format!("{share} %"));
    let record = (
        text(),
        1..=2_u32,
        1..=5_u32,
        any::<bool>(),
        of(share),
        of(1..=52_u32),
        of(5..=120_u32),
        of(mass()),
        vec(tag, 0..3),
    )
        .prop_map(|(name, column, skill, bar, training_share, return_week, age, mass, tags)| AthleteRecord {
            id: String::new(),
            name,
            column,
            skill,
            place: "floor".into(),
            bar: bar.then(|| "bar".into()),
            training_share,
            return_week,
            age,
            mass,
            tags,
        });
    let movement = select(&["back squat", "deadlift", "Front Squats"][..]);
    let how = select(&["tested", "5 reps by epley"][..]).prop_map(String::from);
    let best = ((movement, of(day())), (mass(), how)).prop_map(|((movement, since), (load, how))| BestRecord {
        movement: movement.into(),
        load,
        how,
        since,
    });
    let side = of(select(&["left", "right", "both"][..]).prop_map(String::from));
    let limitation = (side, of(day()), of(0..99_u32)).prop_map(|(side, since, more)| LimitationRecord {
        region: "knee".into(),
        side,
        severity: "mild".into(),
        until: more.map(|more| format!("{}-01-01", 2100 + more)),
        since,
    });
    (record, vec(best, 0..4), vec(limitation, 0..3)).prop_map(|(record, mut bests, limitations)| {
        let mut seen = Vec::new();
        bests.retain(|best| {
            let key = (best.movement.clone(), best.since.clone());
            let new = !seen.contains(&key);
            seen.push(key);
            new
        });
        AthleteRecords { record, bests, limitations }
    })
}

/// Of people `p0` to `p4` and a session that is named later.
fn class() -> impl Strategy<Value = ClassRecord> {
    let people = || subsequence((0..5).map(|n| format!("p{n}")).collect::<Vec<_>>(), 0..=5);
    let out = (1..5_u32, 1..5_u32).prop_map(|(pairs, count)| OutRecord {
        bars: Vec::new(),
        collars: None,
        plate: vec![PlatesOutRecord { mass: "10 kg".into(), pairs }],
        kit: vec![KitOutRecord { kind: "mat".into(), mass: None, count }],
    });
    (file_id(), day(), select(&["06:30", "23:59"][..]), text(), of((any::<bool>(), people())), of(rules()), of(out))
        .prop_map(|(id, date, time, coach, listed, floor, out_of_service)| {
            let pair = |a: &str, b: &str| [[a.to_owned(), b.to_owned()]].to_vec();
            let (together, apart) = match listed {
                None => (pair("p0", "p1"), pair("p4", "p2")),
                Some(_) => Default::default(),
            };
            let (present, absent) = match listed {
                None => (None, None),
                Some((true, people)) => (Some(people), None),
                Some((false, people)) => (None, Some(people)),
            };
            let (time, zone) = (time.to_owned(), "Europe/London".to_owned());
            let session = String::new();
            ClassRecord {
                id,
                date,
                time,
                zone,
                session,
                coach,
                present,
                absent,
                together,
                apart,
                floor,
                out_of_service,
            }
        })
}

fn json() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        any::<u64>().prop_map(Value::from),
        any::<i32>().prop_map(|thousandths| Value::from(f64::from(thousandths) / 1000.0)),
        text().prop_map(Value::from),
        Just(Value::from("2026-12-07")),
    ];
    leaf.prop_recursive(3, 12, 4, |inner| {
        prop_oneof![vec(inner.clone(), 0..4).prop_map(Value::from), settings(inner).prop_map(Value::from)]
    })
}

fn settings(value: impl Strategy<Value = Value>) -> impl Strategy<Value = Map<String, Value>> {
    btree_map(text(), value, 0..4).prop_map(|map| map.into_iter().collect())
}

fn policy() -> impl Strategy<Value = ShelfRecord> {
    let limits = (of(1..1_000_000_u64), of(1..600_000_u64), of(1..4_096_u64), of(1..1_024_u64))
        .prop_map(|(fuel, wall_ms, memory_mib, answer_mib)| LimitsRecord { fuel, wall_ms, memory_mib, answer_mib });
    (text(), any::<bool>(), settings(json()), limits).prop_map(|(name, enabled, settings, limits)| ShelfRecord {
        file: format!("{name}.wasm"),
        enabled,
        settings,
        limits,
    })
}

pub(crate) fn gym() -> impl Strategy<Value = GymRecords> {
    let kinds = (0..3_usize, text()).prop_map(|(many, name)| {
        let kind = |n: usize| KitKindRecord {
            id: format!("thing-{n}"),
            name: format!("thing {n} {name}"),
            aliases: vec![format!("{name} {n} thing")],
        };
        (0..many).map(kind).collect::<Vec<_>>()
    });
    let movements = (0..3_usize).prop_flat_map(|many| (0..many).map(movement).collect::<Vec<_>>());
    let whole = (text(), rules(), kinds, movements, kit(), vec(kit(), 0..3), vec(athlete(), 5..8));
    let day = (btree_map(file_id(), text(), 1..4), vec(class(), 0..4), vec(policy(), 0..4));
    (whole, day).prop_map(
        |((name, rules, kit_kinds, movements, floor_kit, homes, mut athletes), (sessions, mut classes, shelf))| {
            let homes: Vec<HomeRecord> =
                homes.into_iter().enumerate().map(|(n, kit)| HomeRecord { id: format!("home-{n}"), kit }).collect();
            for (n, athlete) in athletes.iter_mut().enumerate() {
                athlete.record.id = format!("p{n}");
                if let Some(home) = homes.get(n) {
                    athlete.record.place = home.id.clone();
                }
            }
            for class in &mut classes {
                class.session = sessions.keys().next().expect("there is one").clone();
            }
            classes.sort_by(|a, b| a.id.cmp(&b.id));
            classes.dedup_by(|a, b| a.id == b.id);
            GymRecords { name, rules, kit_kinds, movements, floor_kit, homes, athletes, sessions, classes, shelf }
        },
    )
}
