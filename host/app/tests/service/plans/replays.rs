//! Plans computed anew: the same bytes, or what is missing by name.

use classwright_app::Again;
use classwright_app::service::replay::ReplayDoc;

use super::{Ground, coach};

async fn replayed(ground: &Ground, plan: &str) -> ReplayDoc {
    ground.service.replay(&coach(), plan).await.unwrap()
}

#[tokio::test(flavor = "multi_thread")]
async fn plans_come_out_the_same_whatever_has_changed_since() {
    let ground = Ground::new().await;
    for class in ["monday", "sunday-lift", "sunday-pull"] {
        ground.plan(class).await;
    }
    let happened = Again { at: Some("+3:00".into()), gone: vec!["ama".into()], ..Again::default() };
    ground.service.replan(&coach(), "monday", &happened).await.unwrap();
    // Everything that a plan is made from changes afterwards.
    ground.meddle("UPDATE athletes SET load_column = 3 - load_column").await;
    ground.meddle("UPDATE gyms SET name = 'Another name', world = world + 1").await;
    ground.meddle("DELETE FROM limitations").await;
    ground.service.disable_policy(&ground.owner, "house-scaling").await.unwrap();
    for plan in ["monday-1", "monday-2", "sunday-lift-1", "sunday-pull-1"] {
        let replay = replayed(&ground, plan).await;
        assert!(replay.same, "{plan}: {replay:?}");
        assert_eq!(replay.came_out.as_ref(), Some(&replay.digest));
        assert!(replay.gone.is_empty() && replay.differences.is_empty() && replay.failed.is_none());
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_missing_is_named() {
    let ground = Ground::new().await;
    ground.plan("monday").await;
    ground.plan("sunday-lift").await;
    ground.plan("sunday-pull").await;
    ground.service.replan(&coach(), "monday", &Again::default()).await.unwrap();
    assert!(replayed(&ground, "monday-2").await.same);

    // A plan that another was made around is not what it was.
    ground
        .meddle(
            "UPDATE plans SET body = REPLACE(body, 'Quayside', 'Seaside') WHERE plan IN ('sunday-lift-1', 'monday-1')",
        )
        .await;
    let replay = replayed(&ground, "sunday-pull-1").await;
    assert!(!replay.same && replay.came_out.is_none());
    assert!(replay.gone[0].contains("plan sunday-lift-1 is not what it was"), "{replay:?}");
    assert!(replayed(&ground, "monday-2").await.gone[0].contains("plan monday-1 is not what it was"));
    // By itself it comes out as it was made; what is kept differs, and where.
    let replay = replayed(&ground, "monday-1").await;
    assert!(replay.same, "{replay:?}");
    assert_eq!(replay.differences[0].place, "session.gym");

    // Another host version: told, and computed all the same.
    ground
        .meddle(
            "UPDATE plans SET inputs = REPLACE(inputs, '\"host\":\"', '\"host\":\"0.') WHERE plan = 'sunday-lift-1'",
        )
        .await;
    let replay = replayed(&ground, "sunday-lift-1").await;
    assert!(replay.same && replay.made_by_host.as_ref() != Some(&replay.this_host), "{replay:?}");

    // Another question: the differences are told by their places.
    ground.meddle("UPDATE inputs SET body = body || char(10) WHERE body LIKE 'name = %'").await;
    let replay = replayed(&ground, "monday-1").await;
    assert_eq!(replay.gone, ["gym.toml is not what it was when the plan was made"]);

    ground.meddle("DELETE FROM inputs WHERE body LIKE 'name = %'").await;
    assert_eq!(replayed(&ground, "monday-1").await.gone, ["gym.toml was erased"]);
    ground.meddle("UPDATE plans SET inputs = 'null' WHERE plan = 'monday-1'").await;
    let replay = replayed(&ground, "monday-1").await;
    assert!(replay.gone[0].contains("erased") && replay.made_by_host.is_none(), "{replay:?}");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_component_that_is_gone_is_named() {
    let ground = Ground::new().await;
    ground.plan("monday").await;
    assert!(replayed(&ground, "monday-1").await.same);
    ground
        .meddle("UPDATE plans SET inputs = REPLACE(inputs, SUBSTR(inputs, INSTR(inputs, '\"digest\":\"') + 10, 8), '00000000')")
        .await;
    let replay = replayed(&ground, "monday-1").await;
    assert!(!replay.same, "{replay:?}");
    assert!(
        replay.gone.iter().any(|gone| gone.starts_with("the component 00000000") && gone.contains("install")),
        "{replay:?}"
    );
}
