//! Taking components in.

use classwright_app::AppError;
use classwright_app::service::shelf::Placed;
use classwright_store::db::components;

use super::policies::{clock_reader, hostile, house, liar, light};
use super::{HALL, Hall, input};

#[tokio::test]
async fn the_house_policies_are_taken_and_asked_nothing_yet() {
    let hall = Hall::new().await;
    for name in ["scaling", "substitution", "heats"] {
        let bytes = house(name);
        let installed = hall.install(bytes.clone()).await;
        assert_eq!(installed.placed, Placed::New);
        assert_eq!(installed.policy.kinds, [name]);
        let asked: Vec<_> = installed.conformance.probes.iter().map(|probe| (&*probe.class, &*probe.outcome)).collect();
        let classes = ["nobody", "one", "few", "many"].map(|class| (class, "passed"));
        assert_eq!(asked, classes, "{:?}", installed.conformance);
        assert!(installed.conformance.passed);
        let mut conn = hall.service.db().read().await.unwrap();
        assert_eq!(components::bytes(&mut conn, HALL, &installed.policy.digest).await.unwrap(), bytes);
    }
    let shelf = hall.service.policies(&hall.owner).await.unwrap().items;
    assert!(shelf.iter().all(|stored| !stored.value.asked && !stored.value.enabled && stored.value.passed));
    assert_eq!(shelf.len(), 3);
    let noted = hall.noted().await;
    assert_eq!(noted.iter().filter(|entry| entry.starts_with("olga policy.installed policy:")).count(), 3, "{noted:?}");
}

#[tokio::test]
async fn what_a_policy_is_and_lets_be_set_is_shown() {
    let hall = Hall::new().await;
    let installed = hall.install(house("substitution")).await;
    let shown = hall.service.policy(&hall.owner, &installed.policy.name).await.unwrap();
    assert_eq!(shown.revision, 1);
    assert_eq!(shown.value.component, installed.policy);
    assert_eq!(shown.value.installed_by, "olga");
    assert!(shown.value.component.imports.iter().any(|import| import.contains("/library@")));
    let percent = shown.value.settings.iter().find(|one| one.name == "keep-count-within-percent").unwrap();
    assert!(percent.description.as_ref().is_some_and(|said| !said.is_empty()), "{percent:?}");
    assert!(percent.default.is_some() && percent.value.is_none(), "{percent:?}");
    assert!(shown.value.before.is_empty() && shown.value.waiting.is_empty() && shown.value.fault.is_none());
}

#[tokio::test]
async fn a_component_that_is_not_to_be_had_is_refused_with_the_kind_of_failure() {
    let hall = Hall::new().await;
    let cases = [
        (b"no component".to_vec(), "incompatible", "not a WebAssembly component"),
        (clock_reader(), "import-refused", "wasi:clocks/monotonic-clock@0.2.0"),
        (light("1.0.0", "{", false), "answer-malformed", "the schema of its settings is not JSON"),
        (light("1.0.0", r#"{"type":"nothing"}"#, false), "answer-malformed", "no JSON Schema"),
    ];
    for (bytes, kind, words) in cases {
        let refused = hall.service.install_policy(&hall.owner, bytes).await;
        let Err(AppError::Policy(failure)) = refused else { panic!("{kind}: {refused:?}") };
        assert_eq!(failure.kind.id(), kind);
        assert!(failure.kind.for_author().contains(words), "{}", failure.kind.for_author());
    }
    assert!(hall.names().await.is_empty());
    assert!(components::list(&mut hall.service.db().read().await.unwrap(), HALL).await.unwrap().is_empty());
}

#[tokio::test]
async fn a_component_that_fails_a_built_in_question_is_kept_and_not_asked_unawares() {
    let hall = Hall::new().await;
    for (bytes, class, kind) in [
        (hostile("endless-loop"), "nobody", "out-of-fuel"),
        (hostile("no-such-piece"), "nobody", "answer-too-large"),
        (liar(), "one", "rule-broken"),
    ] {
        let installed = hall.install(bytes).await;
        let failed = installed.conformance.probes.last().unwrap();
        assert_eq!((failed.class.as_str(), failed.outcome.as_str()), (class, "failed"));
        assert_eq!(failed.fault.as_ref().unwrap().kind, kind, "{failed:?}");
        assert!(!installed.conformance.passed);
    }
    let (field, problem) = input(hall.service.enable_policy(&hall.owner, "hostile", false).await.unwrap_err());
    assert_eq!(field, None);
    assert!(problem.contains("worked for too long") && problem.contains("anyway"), "{problem}");
    assert!(!hall.entry("hostile").await.value.passed);
    let asked = hall.service.enable_policy(&hall.owner, "hostile", true).await.unwrap();
    assert!(asked.value.asked);
}

#[tokio::test]
async fn to_decline_is_an_answer() {
    let hall = Hall::new().await;
    let installed = hall.install(hostile("declines")).await;
    assert!(installed.conformance.passed);
    assert!(installed.conformance.probes.iter().all(|probe| probe.outcome == "declined"), "{installed:?}");
    let said = installed.conformance.probes[0].fault.as_ref().unwrap();
    assert!(said.for_coach.contains("Nobody has told me what a light day means"), "{said:?}");
}

#[tokio::test]
async fn a_component_of_a_name_that_stands_waits_beside_it() {
    let hall = Hall::new().await;
    let first = hall.install(light("1.0.0", "{}", false)).await;
    assert_eq!(hall.install(light("1.0.0", "{}", false)).await.placed, Placed::Standing);
    let second = hall.install(light("1.1.0", "{}", false)).await;
    assert_eq!(second.placed, Placed::Waiting);
    assert_eq!(hall.names().await, ["light"]);
    let shown = hall.service.policy(&hall.owner, "light").await.unwrap().value;
    assert_eq!(shown.shelf.digest, first.policy.digest);
    let waiting: Vec<_> = shown.waiting.iter().map(|one| (one.version.as_str(), one.digest.as_str())).collect();
    assert_eq!(waiting, [("1.1.0", second.policy.digest.as_str())]);
    let noted = hall.noted().await;
    assert_eq!(noted.iter().filter(|entry| entry.contains("policy.installed")).count(), 2, "{noted:?}");
}
