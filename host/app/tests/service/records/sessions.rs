//! Sessions and their texts.

use classwright_app::service::sessions::{NewSession, SessionHead};
use classwright_app::{AppError, DbError};

use super::{Hall, LIFT, class, faults};

#[tokio::test]
async fn every_text_of_a_session_is_kept() {
    let hall = Hall::new().await;
    let (service, who) = (&hall.service, &hall.owner);
    let heavier = LIFT.replace("60 kg", "70 kg").replace("# Lift", "# Lift more");
    let written = service.write_session(who, "lift", heavier.clone(), Some(1)).await.unwrap();
    assert_eq!((written.revision, written.value.written_by.as_str()), (2, "olga"));
    let noted = hall.noted().await.len();
    let same = service.write_session(who, "lift", heavier.clone(), Some(2)).await.unwrap();
    assert_eq!((same.revision, hall.noted().await.len()), (2, noted), "the same text is no change");
    let stale = service.write_session(who, "lift", LIFT.into(), Some(1)).await.unwrap_err();
    assert!(matches!(stale, AppError::Db(DbError::Stale { now: 2, .. })), "{stale}");
    assert_eq!(service.session(who, "lift").await.unwrap().value.text, heavier);
    assert_eq!(service.session_at(who, "lift", 1).await.unwrap().value.text, LIFT);
    let newest = service.session_revisions(who, "lift", None, 1).await.unwrap();
    assert_eq!((newest.items[0].revision, newest.next.as_deref()), (2, Some("2")));
    let oldest = service.session_revisions(who, "lift", newest.next.as_deref(), 1).await.unwrap();
    assert_eq!((oldest.items[0].revision, oldest.next), (1, None));
    let heads = service.sessions(who, None, 5).await.unwrap();
    assert_eq!(heads.items[0].value, SessionHead { id: "lift".into(), title: "Lift more".into() });
}

#[tokio::test]
async fn a_text_that_cannot_be_read_is_refused_with_its_lines() {
    let hall = Hall::new().await;
    let (service, who) = (&hall.service, &hall.owner);
    let bad = LIFT.replace("back squat", "moon walk");
    let refused = service.write_session(who, "lift", bad.clone(), None).await.unwrap_err();
    match refused {
        AppError::Session { path, errors, .. } => {
            assert_eq!((path.to_str(), errors[0].line), (Some("sessions/lift.md"), 5));
        }
        other => panic!("{other:?}"),
    }
    let new = |id: &str, text: &str| NewSession { id: id.into(), text: text.into() };
    assert!(matches!(service.add_session(who, new("moon", &bad)).await, Err(AppError::Session { .. })));
    for id in ["", "../up", "a/b", ".hidden"] {
        let found = faults(service.add_session(who, new(id, LIFT)).await.unwrap_err());
        assert!(found[0].problem.contains("choose an id"), "{found:?}");
    }
    assert!(matches!(service.add_session(who, new("lift", LIFT)).await, Err(AppError::Db(DbError::Exists { .. }))));
    assert_eq!(service.session(who, "lift").await.unwrap().revision, 1);
    assert_eq!(service.sessions(who, None, 5).await.unwrap().items.len(), 1);
}

#[tokio::test]
async fn whoever_watches_a_coming_class_is_told_of_its_new_text() {
    let hall = Hall::new().await;
    let (service, who) = (&hall.service, &hall.owner);
    service.add_class(who, class("past", "2020-01-06")).await.unwrap();
    service.add_class(who, class("coming", "2099-01-05")).await.unwrap();
    service.write_session(who, "lift", LIFT.replace("60 kg", "65 kg"), None).await.unwrap();
    let told = hall.told("coming").await;
    assert_eq!(told, [r#"class-changed {"revision":1}"#, r#"class-changed {"revision":1,"session-revision":2}"#]);
    assert_eq!(hall.told("past").await.len(), 1);
    let needed = service.remove_session(who, "lift", None).await.unwrap_err();
    assert!(matches!(&needed, AppError::Db(DbError::Needed { .. })) && needed.to_string().contains("past"), "{needed}");
    service.add_session(who, NewSession { id: "spare".into(), text: LIFT.into() }).await.unwrap();
    service.remove_session(who, "spare", Some(1)).await.unwrap();
    assert!(matches!(service.session(who, "spare").await, Err(AppError::Db(DbError::Missing { .. }))));
}
