//! Under load: slow policies keep nobody waiting but their own gym's plans, a line is bounded, a plan of yesterday's
//! class is not kept, and past classes cost nothing.

use std::time::{Duration, Instant};

use classwright_app::service::classes::Seen;
use classwright_app::service::{ServiceOptions, Who};
use classwright_app::{AppError, DbError};
use classwright_store::record::LimitsRecord;

use super::{Ground, athlete, coach};
use crate::shelf::policies::hostile;

/// Lets a policy loop for a while in every class of the gym.
async fn slow(ground: &Ground, gym: &str, wall_ms: u64) {
    let owner = Who::console(gym);
    let name = ground.service.install_policy(&owner, hostile("endless-loop")).await.unwrap().policy.name;
    let limits = LimitsRecord { fuel: Some(1_000_000_000_000), wall_ms: Some(wall_ms), ..LimitsRecord::default() };
    ground.service.set_limits(&owner, &name, None, &limits).await.unwrap();
    ground.service.enable_policy(&owner, &name, true).await.unwrap();
}

#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
async fn a_slow_policy_keeps_neither_cards_nor_another_gym_waiting() {
    let options = ServiceOptions { guest_calls_at_once: 2, ..ServiceOptions::default() };
    let ground = Ground::with(options).await;
    ground.add_gym("harbour").await;
    let harbour = Who::console("harbour");
    ground.plan("monday").await;
    ground.service.plan(&harbour, "monday").await.unwrap();
    slow(&ground, super::GYM, 8_000).await;
    let slow: Vec<_> = (0..4)
        .map(|_| {
            let (service, who) = (ground.service.clone(), coach());
            tokio::spawn(async move { service.plan(&who, "tuesday").await })
        })
        .collect();
    tokio::time::sleep(Duration::from_millis(500)).await;
    let started = Instant::now();
    for _ in 0..200 {
        ground.service.card(&athlete("ama"), "monday", "ama").await.unwrap();
    }
    assert!(started.elapsed() < Duration::from_secs(2), "cards took {:?}", started.elapsed());
    let started = Instant::now();
    ground.service.plan(&harbour, "monday").await.unwrap();
    assert!(started.elapsed() < Duration::from_secs(6), "the other gym waited {:?}", started.elapsed());
    assert!(slow.iter().all(|task| !task.is_finished()), "the slow ones are at it still, or this shows nothing");
    for task in slow {
        task.abort();
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
async fn a_full_line_and_a_long_wait_say_when_to_come_back() {
    let options = ServiceOptions {
        guest_calls_at_once: 1,
        waiting_line: 1,
        longest_wait: Duration::from_millis(300),
        ..ServiceOptions::default()
    };
    let ground = Ground::with(options).await;
    let (release, held) = std::sync::mpsc::channel::<()>();
    let service = ground.service.clone();
    let first = tokio::spawn(async move { service.in_pool("any", move || held.recv()).await });
    tokio::time::sleep(Duration::from_millis(100)).await;
    let started = Instant::now();
    let who = coach();
    let (second, third) = tokio::join!(ground.service.plan(&who, "monday"), ground.service.plan(&who, "friday"));
    assert!(started.elapsed() < Duration::from_secs(10));
    for refused in [second, third] {
        let Err(AppError::Overloaded { retry_after_s }) = refused else { panic!("{refused:?}") };
        assert!((1..=60).contains(&retry_after_s));
    }
    release.send(()).unwrap();
    assert!(first.await.unwrap().unwrap().is_ok());
    ground.service.plan(&coach(), "monday").await.unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn work_that_panics_is_a_fault_and_gives_its_place_back() {
    let ground = Ground::with(ServiceOptions { guest_calls_at_once: 1, ..ServiceOptions::default() }).await;
    let broken = ground.service.in_pool("any", || -> () { panic!("on purpose, in a test") }).await;
    assert!(matches!(&broken, Err(AppError::Fault(said)) if said.contains("on purpose")), "{broken:?}");
    assert_eq!(ground.service.in_pool("any", || 7).await.unwrap(), 7);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
async fn a_class_that_changes_while_it_is_planned_is_planned_as_it_is_then() {
    let ground = Ground::new().await;
    slow(&ground, super::GYM, 1_500).await;
    let (service, who) = (ground.service.clone(), coach());
    let planning = tokio::spawn(async move { service.plan(&who, "monday").await });
    tokio::time::sleep(Duration::from_millis(700)).await;
    ground.service.check(&coach(), "monday", &["ama".to_owned()], Some(Seen::Out)).await.unwrap();
    let made = planning.await.unwrap().unwrap();
    let document = ground.document(&made.plan.plan).await;
    assert!(!document["cards"].to_string().contains("\"athlete\":\"ama\""), "planned with somebody who left");

    // One that never stops changing is given up, with what to do.
    let (service, who) = (ground.service.clone(), coach());
    let planning = tokio::spawn(async move { service.plan(&who, "monday").await });
    for athlete in ["bram", "chidi", "dagny", "emre", "farah", "goran", "hana", "idris", "jaya", "kofi", "lena", "milo"]
    {
        if planning.is_finished() {
            break;
        }
        ground.service.check(&coach(), "monday", &[athlete.to_owned()], Some(Seen::Out)).await.unwrap();
        tokio::time::sleep(Duration::from_millis(600)).await;
    }
    let stale = planning.await.unwrap();
    assert!(matches!(stale, Err(AppError::Db(DbError::Stale { what: "class", .. }))), "{stale:?}");
}

/// What is asked of the data for a plan, as the database plans it: no statement goes through all classes or plans.
#[tokio::test(flavor = "multi_thread")]
async fn past_classes_cost_nothing() {
    let ground = Ground::new().await;
    ground.plan("monday").await;
    let time = async |class: &str| {
        let started = Instant::now();
        for _ in 0..3 {
            ground.service.plan(&coach(), class).await.unwrap();
        }
        started.elapsed()
    };
    let few = time("wednesday").await;
    // A thousand past classes, each with its plan, inputs and cards.
    ground
        .meddle(
            "WITH RECURSIVE n(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM n WHERE n < 1000)
             INSERT INTO classes (gym, class, revision, day, starts, zone, session, coach, listed, body, plan)
             SELECT gym, 'past-' || n, 1, DATE('2026-11-01', '-' || n || ' days'), starts, zone, session, coach, listed, body,
                    'past-' || n || '-1' FROM classes, n WHERE class = 'monday'",
        )
        .await;
    ground
        .meddle(
            "INSERT INTO plans (gym, plan, class, parent, digest, body, inputs, made_by, made_at)
             SELECT p.gym, c.class || '-1', c.class, NULL, p.digest, p.body, p.inputs, p.made_by, p.made_at
             FROM plans p, classes c WHERE p.plan = 'monday-1' AND c.class LIKE 'past-%'",
        )
        .await;
    ground
        .meddle(
            "INSERT INTO cards (gym, plan, athlete, body)
             SELECT k.gym, p.plan, k.athlete, k.body FROM cards k, plans p
             WHERE k.plan = 'monday-1' AND p.plan LIKE 'past-%'",
        )
        .await;
    let many = time("thursday").await;
    // Two classes of about the same size. What it costs exactly is the bench's to say; a scan of a gigabyte of plans
    // would show here.
    assert!(many < few * 3 + Duration::from_secs(2), "{few:?} without a past, {many:?} with a thousand classes");
}
