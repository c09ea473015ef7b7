//! Erasing an athlete through the service. That they stand in no table afterwards is tested with the store, on both
//! databases.

use classwright_app::service::classes::{Days, Seen};
use classwright_app::{AppError, DbError};
use classwright_store::record::{AthleteRecord, ClassRecord, HomeRecord};

use super::{Hall, athlete, class};

#[tokio::test]
async fn an_athlete_who_is_needed_is_erased_and_the_gym_stands() {
    let hall = Hall::new().await;
    let (service, who) = (&hall.service, &hall.owner);
    service.add_home(who, HomeRecord { id: "chidis-flat".into(), ..HomeRecord::default() }).await.unwrap();
    let chidi = AthleteRecord { place: "chidis-flat".into(), ..athlete("chidi") };
    service.add_athlete(who, chidi).await.unwrap();
    let present = Some(vec!["chidi".to_owned(), "ama".to_owned()]);
    let together = vec![["ama".to_owned(), "chidi".to_owned()]];
    service.add_class(who, ClassRecord { present, together, ..class("monday", "2026-12-07") }).await.unwrap();
    service.check(who, "monday", &["chidi".to_owned()], Some(Seen::In)).await.unwrap();
    let needed = service.remove_athlete(who, "chidi", None).await.unwrap_err();
    assert!(matches!(needed, AppError::Db(DbError::Needed { .. })), "{needed}");
    let stale = service.erase_athlete(who, "chidi", Some(9)).await.unwrap_err();
    assert!(matches!(stale, AppError::Db(DbError::Stale { now: 1, .. })), "{stale}");

    let done = service.erase_athlete(who, "chidi", Some(1)).await.unwrap();
    assert_eq!((done.stands.as_str(), done.plans_without_inputs.len()), ("erased-1", 0));
    assert!(matches!(service.athlete(who, "chidi").await, Err(AppError::Db(DbError::Missing { .. }))));
    assert!(matches!(service.kit(who, "chidis-flat").await, Err(AppError::Db(DbError::Missing { .. }))));
    assert_eq!(service.athletes(who, None, 9).await.unwrap().items.len(), 2);
    let kept = service.class(who, "monday").await.unwrap().value;
    assert_eq!((kept.present.clone(), kept.together.len()), (Some(vec!["ama".to_owned()]), 0));
    let there = service.attendance(who, "monday").await.unwrap();
    assert_eq!((there[0].athlete.as_str(), there[0].checked), ("erased-1", Some(Seen::In)));
    // The gym can be read and changed as before.
    service.put_class(who, "monday", kept, None).await.unwrap();
    assert_eq!(service.classes(who, &Days::default(), None, 9).await.unwrap().items.len(), 1);
    let told = hall.told("monday").await;
    assert!(told.iter().any(|one| one == r#"checked-in {"athlete":"erased-1"}"#), "{told:?}");
    let noted = hall.noted().await;
    assert!(noted.iter().all(|entry| !entry.contains("chidi ") && !entry.contains("\"chidi\"")), "{noted:?}");
    assert!(noted.iter().any(|entry| entry.starts_with("athlete.erased athlete:")), "{noted:?}");
    let again = service.erase_athlete(who, "erased-1", None).await.unwrap_err();
    assert!(matches!(again, AppError::Db(DbError::Missing { .. })), "{again}");
}
