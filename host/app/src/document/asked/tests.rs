use std::path::Path;
use std::sync::Arc;

use classwright_planning::{Class, plan};
use classwright_store::{ClassSheet, Gym};

use crate::document::{FloorDoc, Occasion, PlanDoc};

/// The demo gym's classes, planned without policies: people go in turn.
pub(crate) fn with_each_class(look: impl Fn(&Gym, &ClassSheet, &Class<'_>, &classwright_planning::Plan)) {
    let gym = classwright_store::open(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-gym")).expect("the gym");
    assert!(gym.classes.len() > 4, "{} classes", gym.classes.len());
    let library = Arc::new(gym.library.clone());
    for sheet in &gym.classes {
        let session = crate::read_session(&sheet.session, &library).expect("a session").session;
        let athletes: Vec<_> = sheet.present.iter().map(|ix| gym.athletes[ix.0 as usize].clone()).collect();
        let class = Class {
            session: &session,
            library: &library,
            athletes: &athletes,
            floor_kit: &sheet.floor_kit,
            home_kits: &gym.home_kits,
            rules: &gym.rules,
            shelf: &[],
            unloaded: &[],
        };
        look(&gym, sheet, &class, &plan(&class));
    }
}

#[test]
fn the_floor_that_was_planned_and_its_plan_are_read_back() {
    with_each_class(|gym, sheet, class, plan| {
        let doc = PlanDoc::new(&Occasion { gym: &gym.name, sheet: Some(sheet) }, class, plan);
        let text = serde_json::to_string(&doc).expect("JSON");
        let read: PlanDoc = serde_json::from_str(&text).expect("its own JSON");
        assert_eq!(serde_json::to_string(&read).expect("JSON"), text);
        let named = read.floor.asked.floor().unwrap_or_else(|error| panic!("{}: {error}", sheet.id));
        assert_eq!(named.floor, plan.floor.floor, "{}", sheet.id);
        let layout = read.floor.layout(&named).expect("its own plan").expect("a plan");
        assert_eq!(layout, plan.floor.layout, "{}", sheet.id);
        let again = FloorDoc::laid_out(&named, &layout, None, false, true);
        assert_eq!(again, doc.floor, "{}", sheet.id);
    });
}

#[test]
fn what_is_wrong_is_told_with_its_place() {
    let docs = std::cell::RefCell::new(Vec::new());
    with_each_class(|gym, sheet, class, plan| {
        let doc = PlanDoc::new(&Occasion { gym: &gym.name, sheet: Some(sheet) }, class, plan);
        docs.borrow_mut().push(serde_json::to_value(&doc.floor).expect("JSON"));
    });
    let mut good = docs.into_inner().swap_remove(0);
    // Left out where there is none.
    good["asked"]["needed_later"] = serde_json::json!([]);
    let told = |pointer: &str, value: serde_json::Value| {
        let mut json = good.clone();
        *json.pointer_mut(pointer).unwrap_or_else(|| panic!("no {pointer}")) = value;
        let doc: FloorDoc = serde_json::from_value(json).expect("of the right shape");
        doc.asked.floor().and_then(|named| doc.layout(&named)).expect_err("a fault").to_string()
    };
    let there = |pointer: &str, value: serde_json::Value, words: &str| {
        let told = told(pointer, value);
        assert!(told.contains(words), "{pointer}: {told}");
    };
    there("/asked/bouts/0/athlete", "nobody".into(), "floor.asked.bouts[0].athlete: there is no `nobody`");
    there("/asked/bouts/1/duration_s", 2_000_000.into(), "floor.asked.bouts[1].duration_s: is 2000000");
    there("/asked/bouts/0/part", 0.into(), "floor.asked.bouts[0].part: is 0");
    there("/asked/bars/0/kind", "a stick".into(), "floor.asked.bars[0].kind: there is no `a stick`");
    there("/asked/bar_kinds/0/bar_kg", (-20).into(), "floor.asked.bar_kinds[0].bar_kg: is -20");
    there("/asked/stock/0/count", 4_000_000.into(), "floor.asked.stock[0].count: is 4000000");
    let second = good["asked"]["athletes"][1]["athlete"].clone();
    there("/asked/athletes/0/athlete", second, "stands twice");
    there("/heats/0/heat", 5.into(), "floor.heats[0].heat: is 5");
    there("/heats/0/athletes/0", "nobody".into(), "floor.heats[0].athletes[0]: there is no `nobody`");
    there("/asked/effort", 1_000_000_001_u64.into(), "floor.asked.effort: is 1000000001; at most 1000000000");
    let taken = |from_s: u64, to_s: u64, count: u64| {
        let kit = good["asked"]["stock"][0]["kit"].clone();
        serde_json::json!({ "kit": kit, "count": count, "from_s": from_s, "to_s": to_s })
    };
    there("/asked/taken", serde_json::json!([taken(0, 2_000_000, 1)]), "floor.asked.taken[0].to_s: is 2000000");
    there("/asked/taken", serde_json::json!([taken(2_000_000, 4_294_967_295, 1)]), "floor.asked.taken[0].from_s: is 2");
    there("/asked/taken", serde_json::json!([taken(60, 60, 1)]), "floor.asked.taken[0].to_s: is 60, and it begins at");
    let many = vec![taken(0, 60, 100_000); 50_000];
    there("/asked/taken", many.into(), "floor.asked.taken: has 50000 entries; no class has more than 5000");
    let later = |from_s: u64, to_s: u64| serde_json::json!([{ "bar": good["asked"]["bars"][0]["bar"], "from_s": from_s, "to_s": to_s }]);
    there("/asked/needed_later", later(4_000_000, 4_000_001), "floor.asked.needed_later[0].from_s: is 4000000");
    there("/heats/0/athletes", serde_json::json!([]), "is on the floor and in no heat");
    there("/heats/0/starts/0/part", 77.into(), "floor.heats[0].starts[0]: nobody does set");
}
