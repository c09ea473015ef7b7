//! Past classes planned with another shelf: what would differ, and that nothing is written.

use classwright_app::service::attempt::TriedPolicy;
use classwright_store::db::{AnyConnection, plans};
use serde_json::Value;

use super::{GYM, Ground, coach};
use crate::shelf::policies::{hostile, light};

async fn count(conn: &mut AnyConnection) -> (usize, usize) {
    let plans = plans::of_class(conn, GYM, "monday", "", 100).await.unwrap().len();
    let noted = classwright_store::db::ledger::list(conn, GYM, 0, 10_000).await.unwrap().len();
    (plans, noted)
}

#[tokio::test(flavor = "multi_thread")]
async fn the_same_shelf_changes_nothing_and_another_what_it_changes() {
    let ground = Ground::new().await;
    ground.plan("monday").await;
    ground.plan("friday").await;
    ground.service.replan(&coach(), "monday", &Default::default()).await.unwrap();
    let light = ground.service.install_policy(&ground.owner, light("1.0.0", "{}", true)).await.unwrap().policy;
    let hostile = ground.service.install_policy(&ground.owner, hostile("endless-loop")).await.unwrap().policy;
    let before = count(&mut ground.service.db().read().await.unwrap()).await;
    let past = ["monday-2".to_owned(), "friday-1".to_owned()];
    let shelf = ground.service.asked_shelf(&ground.owner).await.unwrap();
    assert_eq!(shelf.len(), 3);
    let same = ground.service.attempt(&ground.owner, &shelf, &past).await.unwrap();
    assert_eq!(same.total, Default::default(), "{same:?}");
    assert_eq!(same.classes.iter().map(|class| class.plan.as_str()).collect::<Vec<_>>(), ["monday-1", "friday-1"]);

    let with = |name: &str, digest: &str| {
        let policy = TriedPolicy {
            policy: name.into(),
            digest: digest.into(),
            settings: Default::default(),
            limits: Default::default(),
        };
        [shelf.clone(), vec![policy]].concat()
    };
    // It takes the first piece of the class off.
    let off = ground.service.attempt(&ground.owner, &with("light", &light.digest), &past).await.unwrap();
    assert_eq!((off.total.off, off.total.faults, off.total.classes), (2, 0, 2), "{:?}", off.total);
    let item = &off.classes[0].athletes[0].items[0];
    assert_eq!((item.item, item.to.as_str(), item.what.as_slice()), (1, "off", &["off".to_owned()][..]));
    // Without scaling loads differ: more people would do the written work.
    let less: Vec<TriedPolicy> = shelf.iter().filter(|policy| policy.policy != "house-scaling").cloned().collect();
    let less = ground.service.attempt(&ground.owner, &less, &past).await.unwrap();
    assert!(less.total.loads_up > 0 && less.total.cards > 0, "{:?}", less.total);
    let faults = ground.service.attempt(&ground.owner, &with("hostile", &hostile.digest), &past).await.unwrap();
    assert_eq!(faults.total.faults, 2);
    assert_eq!(faults.classes[0].faults[0].kind, "out-of-fuel");

    let left = ground.service.attempt(&ground.owner, &shelf, &["monday-1".into()]).await.unwrap();
    assert!(left.left_out.is_empty());
    ground.meddle("UPDATE plans SET inputs = 'null' WHERE plan = 'friday-1'").await;
    let left = ground.service.attempt(&ground.owner, &shelf, &past).await.unwrap();
    assert_eq!((left.classes.len(), left.left_out[0].plan.as_str()), (1, "friday-1"));
    let missing = ground.service.attempt(&ground.owner, &with("light", "00"), &past).await;
    assert!(missing.is_err());
    assert_eq!(count(&mut ground.service.db().read().await.unwrap()).await, before);
    let _: Value = serde_json::to_value(left).unwrap();
}
