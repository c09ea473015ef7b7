//! Every check value from outside the project, run against the formulas.
//!
//! `tests/data/trade-values.json` gives for each value its source, whether it was seen in print, and how near an
//! answer must come. A value is either run here or listed with a reason in [`NOT_RUN`]; anything else fails.

use classwright_training::formulas::{
    Span, bests, bests::Equation, cadence, discs, effort, energy, goals, hot_weather, percent::Edition, progression,
    return_to_training, rowing, warm_up, week_load, work_rest, zones,
};
use classwright_training::plates::BarSetUp;
use classwright_training::{Mass, Unit};
use serde_json::{Value, json};

/// Values that nothing here computes.
const NOT_RUN: [(&str, &str); 1] =
    [("eq-tol-iwf", "nobody has seen the clause in print, and no part of the project needs a disc's tolerance")];

fn file() -> Value {
    serde_json::from_str(include_str!("../../../tests/data/trade-values.json")).expect("the file is JSON")
}

#[test]
fn every_value_comes_out_or_is_listed() {
    let file = file();
    let values = file["values"].as_array().expect("a list");
    assert_eq!(Some(values.len() as u64), file["count"].as_u64(), "the file is whole");
    let mut wrong = Vec::new();
    for value in values {
        let id = value["id"].as_str().expect("an id");
        let listed = NOT_RUN.iter().any(|(other, _)| *other == id);
        match (computed(value), listed) {
            (Some(_), true) => wrong.push(format!("{id}: listed as not run, but it is")),
            (None, false) => wrong.push(format!("{id}: neither run nor listed")),
            (None, true) => {}
            (Some(answer), false) => {
                if !near(&answer, &value["expected"], &value["tolerance"]) {
                    wrong.push(format!("{id}: {answer}, and {} says {}", value["source"], value["expected"]));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_listed_value_exists() {
    let file = file();
    let values = file["values"].as_array().expect("a list");
    for (id, _) in NOT_RUN {
        assert!(values.iter().any(|value| value["id"] == id), "{id}");
    }
}

#[test]
fn a_wrong_answer_is_seen() {
    let (abs, exact) = (json!({"kind": "abs", "value": 0.01}), json!({"kind": "exact"}));
    assert!(near(&json!(1.005), &json!(1), &abs) && !near(&json!(1.02), &json!(1), &abs));
    assert!(near(&json!(4.0), &json!(4), &exact) && !near(&json!(4.000001), &json!(4), &exact));
    assert!(!near(&json!([1, 2]), &json!([1]), &exact));
    assert!(!near(&json!({"a": 1}), &json!({"a": 1, "b": 2}), &exact));
    assert!(!near(&json!(f64::NAN), &json!(1), &abs));
    assert!(!near(&json!("red"), &json!("blue"), &exact));
}

/// Same shape, same words, numbers within the tolerance.
fn near(answer: &Value, expected: &Value, tolerance: &Value) -> bool {
    match (answer, expected) {
        (Value::Number(_), Value::Number(_)) => within(answer, expected, tolerance).expect("numbers and a tolerance"),
        (Value::Array(a), Value::Array(b)) => a.len() == b.len() && a.iter().zip(b).all(|(a, b)| near(a, b, tolerance)),
        (Value::Object(a), Value::Object(b)) => {
            a.len() == b.len() && b.iter().all(|(key, b)| a.get(key).is_some_and(|a| near(a, b, tolerance)))
        }
        _ => answer == expected,
    }
}

/// `None` where the file has a tolerance of an unknown kind.
fn within(answer: &Value, expected: &Value, tolerance: &Value) -> Option<bool> {
    let (answer, expected) = (answer.as_f64()?, expected.as_f64()?);
    match tolerance["kind"].as_str()? {
        "exact" => Some(answer == expected),
        "abs" => Some((answer - expected).abs() <= tolerance["value"].as_f64()?),
        "rel" => Some((answer - expected).abs() <= tolerance["value"].as_f64()? * expected.abs()),
        _ => None,
    }
}

/// What the formulas say, in the shape of the expected answer; `None` where nothing here knows of it.
fn computed(value: &Value) -> Option<Value> {
    let given = Given(&value["inputs"]);
    match value["group"].as_str()? {
        "1-one-rep-max" => one_rep_max(given),
        "2-percent-table" => percent_table(given),
        "2-training-goals" => goal(given),
        "3-volume-zones" => volume_zone(given),
        "4-equipment" => equipment(given, value["expected"].is_object()),
        "4-units" => units(given),
        "5-effort" => rating(given),
        "5-session-load" => session_load(given),
        "6-met" => met(given),
        "6-energy" => kilocalories(given),
        "7-work-rest" => work_to_rest(given),
        "7-rowing" => row(given),
        "7-cadence" => rhythm(given),
        "8-heat" => heat(given),
        "8-return" => weeks_back(given, value["expected"].is_array()),
        "9-progression" => progress(given),
        "9-warm-up" => warming_up(given),
        _ => None,
    }
}

/// The inputs of a value.
#[derive(Clone, Copy)]
struct Given<'a>(&'a Value);

impl<'a> Given<'a> {
    fn number(self, name: &str) -> Option<f64> {
        self.0[name].as_f64()
    }

    fn count(self, name: &str) -> Option<u32> {
        self.0[name].as_u64().map(|count| count as u32)
    }

    fn text(self, name: &str) -> Option<&'a str> {
        self.0[name].as_str()
    }

    fn numbers(self, name: &str) -> Option<Vec<f64>> {
        self.0[name].as_array()?.iter().map(Value::as_f64).collect()
    }
}

fn pair(span: Span) -> Value {
    json!([span.from, span.to])
}

fn one_rep_max(given: Given) -> Option<Value> {
    if let Some(five) = given.number("five_rm_kg") {
        return Some(json!(bests::bench_best_from_five(five).ok()?));
    }
    if given.text("form") == Some("decimal") {
        // The decimal form is another rounding of the same equation; ours must stay beside it, within 0.1 %.
        let (load, reps) = (given.number("load_kg")?, given.count("reps")?);
        let decimal = load / (1.0278 - 0.0278 * f64::from(reps));
        let ours = Equation::Brzycki.best(load, reps).ok()?;
        return ((ours / decimal - 1.0).abs() < 0.001).then(|| json!(decimal));
    }
    let equation = given
        .text("equation")
        .map(|name| Equation::ALL.into_iter().find(|equation| equation.name() == name).expect("an equation we have"));
    if let (Some(equation), Some(reps)) = (equation, given.count("n_rm")) {
        return Some(json!(equation.load(100.0, reps).ok()?.round()));
    }
    let (load, reps) = (given.number("load_kg")?, given.count("reps")?);
    match equation {
        // What is printed and what we answer differ for one repetition, so the printed form is checked there.
        Some(equation) if reps == 1 => Some(json!(equation.as_printed(load, reps))),
        Some(equation) => Some(json!(equation.best(load, reps).ok()?)),
        None if reps > bests::MOST_REPS => Some(match Equation::Brzycki.best(load, reps) {
            Err(bests::NoBest::Reps { .. }) => json!("error"),
            other => panic!("{other:?}"),
        }),
        None => Some(json!({
            "epley": Equation::Epley.best(load, reps).ok()?,
            "brzycki": Equation::Brzycki.best(load, reps).ok()?,
        })),
    }
}

fn percent_table(given: Given) -> Option<Value> {
    let edition = match given.text("edition") {
        Some("textbook") => Edition::Textbook,
        _ => Edition::Chart,
    };
    if let Some(to) = given.count("reps_to") {
        let best = edition.best(given.number("load_lb")?, given.count("reps_from")?).ok()?;
        return Some(json!(best * edition.percent(to).ok()? / 100.0));
    }
    let reps = given.count("reps")?;
    match given.number("load_kg").or(given.number("load_lb")) {
        Some(load) => Some(json!(edition.best(load, reps).ok()?)),
        None => Some(json!(edition.percent(reps).ok()?)),
    }
}

fn goal(given: Given) -> Option<Value> {
    let goal = goals::goal(given.text("goal")?)?;
    let mut row = serde_json::Map::new();
    for (name, span) in [("load_pct", goal.percent), ("reps", goal.reps), ("sets", goal.sets), ("rest_s", goal.rest_s)]
    {
        match (span.from, span.to) {
            (Some(from), None) => row.insert(format!("{name}_min"), json!(from)),
            (None, Some(to)) => row.insert(format!("{name}_max"), json!(to)),
            _ => row.insert(name.to_owned(), pair(span)),
        };
    }
    Some(Value::Object(row))
}

fn volume_zone(given: Given) -> Option<Value> {
    let Some(percent) = given.number("pct") else {
        let zone = zones::ZONES.iter().find(|zone| Some(zone.id) == given.text("zone_pct_1rm"))?;
        let (reps_per_set, total) = (pair(zone.reps_per_set), pair(zone.total));
        return Some(json!({
            "reps_per_set": reps_per_set, "optimal_total": zone.optimal_total, "range_total": total,
        }));
    };
    let judged = zones::judge(percent, given.count("sets")?, given.count("reps")?).ok()?;
    Some(match judged.verdict {
        zones::Verdict::Optimal => json!({ "total": judged.total, "verdict": "optimal" }),
        zones::Verdict::AboveRange => json!({
            "total": judged.total, "verdict": "above-range", "reps_per_set_ok": judged.reps_per_set_fit,
        }),
        other => panic!("no value asks for {other:?}"),
    })
}

fn equipment(given: Given, as_bounds: bool) -> Option<Value> {
    if let Some(id) = given.text("bar") {
        let bar = discs::BARS.iter().find(|bar| bar.id == id)?;
        return Some(json!({ "mass_kg": bar.mass.kg(), "length_mm": bar.length_mm, "grip_dia_mm": bar.grip_mm }));
    }
    if given.text("part") == Some("competition collar") {
        return Some(json!(discs::COLLAR.kg()));
    }
    if let Some(kg) = given.number("mass_kg") {
        let disc = discs::DISCS.iter().find(|disc| disc.mass == Mass::from_kg(kg))?;
        return Some(json!(disc.colour));
    }
    if let Some(side) = given.numbers("per_side_kg") {
        let side: Vec<Mass> = side.into_iter().map(Mass::from_kg).collect();
        let (bar, collar) = (Mass::from_kg(given.number("bar_kg")?), Mass::from_kg(given.number("collar_kg")?));
        return Some(json!(BarSetUp { bar, collar, plates: Vec::new() }.loaded(&side).kg()));
    }
    // The weightlifting tolerance is a pair of bounds and not ours; the powerlifting one is a number of grams.
    let nominal = Mass::from_kg(given.number("nominal_kg")?);
    (!as_bounds).then(|| json!(discs::powerlifting_tolerance_g(nominal)))
}

fn units(given: Given) -> Option<Value> {
    if let Some(kg) = given.number("kg") {
        return Some(json!(Mass::from_kg(kg).pounds()));
    }
    let exactly = Unit::Pounds.exactly(given.count("lb")? * 100);
    let (kg, rest) = (exactly / 10_000_000_000, exactly % 10_000_000_000);
    Some(json!(format!("{kg}.{rest:010}").trim_end_matches('0')))
}

fn rating(given: Given) -> Option<Value> {
    let tenths = |text: &str| text.parse::<f64>().ok().map(|rating| (rating * 10.0).round() as u32);
    let left = |text: &str| effort::reps_left(tenths(text)?).ok()?;
    let text = given.text("rpe")?;
    match text.split_once('-') {
        None => left(text).map(pair),
        Some((from, to)) => (left(from) == left(to)).then(|| left(from).map(pair))?,
    }
}

fn session_load(given: Given) -> Option<Value> {
    if let Some(rating) = given.number("rpe") {
        return Some(json!(week_load::session_load(rating, given.number("minutes")?).ok()?));
    }
    let days: [f64; 7] = given.numbers("daily_load")?.try_into().ok()?;
    let sample = week_load::week(&days, week_load::Deviation::Sample).ok()?;
    let population = week_load::week(&days, week_load::Deviation::Population).ok()?;
    if sample.monotony.is_none() && population.strain.is_none() {
        return Some(json!("undefined"));
    }
    Some(json!({
        "weekly_load": sample.load,
        "mean": sample.mean,
        "sd_sample": sample.deviation,
        "monotony_sample": sample.monotony,
        "strain_sample": sample.strain,
        "sd_population": population.deviation,
        "monotony_population": population.monotony,
        "strain_population": population.strain,
    }))
}

fn met(given: Given) -> Option<Value> {
    let activity = energy::activity(given.text("code")?)?;
    match given.count("edition")? {
        2011 => activity.met_2011.map(|met| json!(met)),
        2024 => activity.met_2024.map(|met| json!(met)),
        _ => None,
    }
}

fn kilocalories(given: Given) -> Option<Value> {
    let (met, kg, minutes) = (given.number("met")?, given.number("kg")?, given.number("minutes")?);
    let by = |convention| energy::kilocalories(met, kg, minutes, convention).ok();
    let (equation, short) = (by(energy::Convention::Equation)?, by(energy::Convention::Short)?);
    // The value that compares both has one hour of eight times rest.
    if minutes == 60.0 {
        return Some(json!({ "acsm": equation, "simple": short, "ratio": equation / short }));
    }
    Some(json!(if given.text("convention").is_some() { short } else { equation }))
}

fn work_to_rest(given: Given) -> Option<Value> {
    let row = work_rest::WORK_RESTS.into_iter().find(|row| Some(row.system) == given.text("system"))?;
    if let Some(work) = given.count("work_s") {
        assert_eq!(work_rest::for_work(work), Some(row));
        return Some(pair(row.rest_s(work)));
    }
    Some(json!({ "work_s": pair(row.work_s), "rest_per_work": [row.least, row.most] }))
}

fn row(given: Given) -> Option<Value> {
    if let Some(split) = given.number("split_s_per_500m") {
        return Some(json!(rowing::watts(split).ok()?));
    }
    if let Some(watts) = given.number("watts") {
        return Some(json!(rowing::split_s(watts).ok()?));
    }
    Some(json!(rowing::split_of(given.number("metres")?, given.number("seconds")?).ok()?))
}

fn rhythm(given: Given) -> Option<Value> {
    if let Some(tempo) = given.text("tempo") {
        return Some(json!(tempo.parse::<cadence::Tempo>().ok()?.rep_s()));
    }
    let beats = given.count("bpm")?;
    let cadence = cadence::cadence(beats, given.count("beats_per_rep")?).ok()?;
    let mut answer = json!({ "reps_per_min": cadence.reps_a_minute, "s_per_rep": cadence.rep_s });
    if beats == 80 {
        answer["max_reps_in_2min"] = json!(120.0 / cadence.rep_s);
    }
    Some(answer)
}

fn heat(given: Given) -> Option<Value> {
    let Some(degrees) = given.number("wbgt_c") else {
        let (bulb, globe, air) = (given.number("tnwb_c")?, given.number("tg_c")?, given.number("ta_c")?);
        return Some(json!(hot_weather::wet_bulb_globe(bulb, globe, air)));
    };
    let label = |advice| match advice {
        hot_weather::Advice::Normal => "normal",
        hot_weather::Advice::Modify => "modify",
        hot_weather::Advice::Discretion => "discretion",
        hot_weather::Advice::RestAsWork => "ratio-1:1-limit",
        hot_weather::Advice::Limit => "limit",
        hot_weather::Advice::Cancel => "cancel",
    };
    let band = hot_weather::band(degrees).ok()?;
    Some(json!({ "not_acclimatised": label(band.not_acclimatised), "acclimatised": label(band.acclimatised) }))
}

fn weeks_back(given: Given, limits: bool) -> Option<Value> {
    if let Some(sets) = given.count("sets") {
        let volume = return_to_training::relative_volume(sets, given.count("reps")?, given.number("fraction")?);
        return Some(json!(volume.ok()?));
    }
    let week = return_to_training::week_back(given.count("week")?).ok()?;
    if limits { week.relative_volume.map(pair) } else { Some(json!(f64::from(week.volume_percent) / 100.0)) }
}

fn progress(given: Given) -> Option<Value> {
    if let Some(load) = given.number("load_kg") {
        let (least, most) = progression::next_load(load).ok()?;
        return Some(json!({ "min_kg": least, "max_kg": most }));
    }
    if let Some(goal) = given.count("goal") {
        let last: Vec<u32> = given.numbers("last_set_reps")?.into_iter().map(|reps| reps as u32).collect();
        return Some(json!(progression::two_for_two(goal, &last)));
    }
    if given.text("zone") == Some("1-6RM") {
        return Some(pair(progression::HEAVY_REST_S));
    }
    if given.text("velocity") == Some("moderate") {
        let phase = pair(progression::MODERATE_PHASE_S);
        return Some(json!({ "con_s": phase, "ecc_s": phase }));
    }
    match given.text("status")? {
        "novice" => Some(pair(progression::Status::Novice.sessions_a_week())),
        "intermediate" => Some(pair(progression::Status::Intermediate.sessions_a_week())),
        _ => None,
    }
}

fn warming_up(given: Given) -> Option<Value> {
    if let Some(region) = given.text("region") {
        let step = if region == "upper" { warm_up::Half::Upper.up() } else { warm_up::Half::Lower.up() };
        let percent = [step.permille.from?, step.permille.to?].map(|permille| f64::from(permille) / 10.0);
        return Some(json!({ "lb": pair(step.pounds), "pct": percent }));
    }
    let sets = warm_up::WARM_UP.iter().map(|set| {
        let rest = if set.rest_s.from == set.rest_s.to { json!(set.rest_s.from) } else { pair(set.rest_s) };
        json!({ "reps": pair(set.reps), "rest_s": rest })
    });
    Some(Value::Array(sets.collect()))
}
