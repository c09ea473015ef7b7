//! A roster as a table: shown first, then made so, whole or not at all.

use classwright_app::service::exchange::RosterChangeDoc;
use classwright_app::{AppError, DbError};
use classwright_store::db::ledger;

use super::{Data, HALL, faults};

const CSV: &str = "\u{feff}skill,id,name,column,place,mass
5,ama,Ama Tidewell,2,floor,67 kg
4,bram,Bram Oakhollow,1,floor,92 kg
1,dov,\"Dov, of the quay\",1,floor,
3,caro,Caro Fenbridge,2,caros-garage,
";

impl Data {
    async fn shown(&self, csv: &str) -> Result<RosterChangeDoc, AppError> {
        self.service.roster_change(&self.console, csv.into()).await
    }
}

fn rows(change: &RosterChangeDoc) -> Vec<String> {
    let field = |row: &str, field: &classwright_app::service::exchange::FieldChangeDoc| {
        format!("{row}.{}: {} -> {}", field.field, field.from, field.to)
    };
    change.changed.iter().flat_map(|row| row.fields.iter().map(move |one| field(&row.id, one))).collect()
}

#[tokio::test(flavor = "multi_thread")]
async fn what_would_change_is_shown_then_made_so() {
    let data = Data::with_people().await;
    let before = data.service.export_gym(&data.console).await.unwrap();
    let shown = data.shown(CSV).await.unwrap();
    assert_eq!(rows(&shown), ["ama.skill: 4 -> 5", "ama.mass: 66 kg -> 67 kg", "caro.mass: 69 kg -> "]);
    assert_eq!(shown.added.iter().map(|new| new.name.as_str()).collect::<Vec<_>>(), ["Dov, of the quay"]);
    assert_eq!((shown.unchanged.as_slice(), shown.missing.len(), shown.applied), (&["bram".to_owned()][..], 26, false));
    assert_eq!(data.service.export_gym(&data.console).await.unwrap(), before, "a look changes nothing");

    let applied = data.service.apply_roster(&data.console, CSV.into(), Some(shown.world)).await.unwrap();
    let RosterChangeDoc { added, changed, unchanged, missing, .. } = shown.clone();
    let world = applied.world;
    assert_eq!(applied, RosterChangeDoc { world, applied: true, added, changed, unchanged, missing });
    assert!(world > shown.world);
    let ama = data.service.athlete(&data.console, "ama").await.unwrap().value;
    // Columns that the table does not have stay.
    assert_eq!((ama.skill, ama.age, ama.bar.as_deref(), ama.tags.len()), (5, Some(31), Some("bar-15"), 1));
    assert_eq!(data.service.athlete(&data.console, "bibi").await.unwrap().value.name, "Bibi Lockmere");
    assert_eq!(data.service.bests(&data.console, "ama").await.unwrap().value.len(), 7);

    let nothing = data.service.apply_roster(&data.console, CSV.into(), None).await.unwrap();
    assert_eq!((nothing.changed.len(), nothing.added.len(), nothing.unchanged.len()), (0, 0, 4));
    let noted = ledger::list(&mut data.service.db().read().await.unwrap(), HALL, 0, 100).await.unwrap();
    let noted: Vec<String> = noted
        .iter()
        .filter(|entry| entry.what.starts_with("athlete"))
        .map(|one| format!("{} {}", one.what, one.detail))
        .collect();
    let wanted = [
        "athlete.added {}",
        r#"athlete.changed {"fields":["skill","mass"]}"#,
        r#"athlete.changed {"fields":["mass"]}"#,
    ];
    assert_eq!(noted, wanted);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_roster_that_was_changed_since_it_was_shown_stays() {
    let data = Data::with_people().await;
    let shown = data.shown(CSV).await.unwrap();
    let mut bram = data.service.athlete(&data.console, "bram").await.unwrap().value;
    bram.skill = 5;
    data.service.put_athlete(&data.console, "bram", bram, None).await.unwrap();
    let error = data.service.apply_roster(&data.console, CSV.into(), Some(shown.world)).await.unwrap_err();
    assert!(matches!(error, AppError::Db(DbError::Stale { what: "roster", .. })), "{error:?}");
    assert_eq!(data.service.athlete(&data.console, "ama").await.unwrap().value.skill, 4);
}

#[tokio::test(flavor = "multi_thread")]
async fn faults_are_told_with_line_and_column_and_nothing_is_kept() {
    let data = Data::with_people().await;
    let csv = "id,name,column,skill,place,bar\nama,Ama,1,3,floor,bar-9\nnew,New,1,3,nowhere,\nok,Okay,1,3,floor,\nok,Twice,3,3,floor,\n";
    for told in [
        faults(data.shown(csv).await.unwrap_err()),
        faults(data.service.apply_roster(&data.console, csv.into(), None).await.unwrap_err()),
    ] {
        let places: Vec<String> =
            told.iter().map(|fault| fault.splitn(3, ": ").take(2).collect::<Vec<_>>().join(" ")).collect();
        assert_eq!(places, ["roster.csv:2 bar", "roster.csv:3 place", "roster.csv:5 column", "roster.csv:5 id"]);
    }
    let header = faults(data.shown("id,nmae\n").await.unwrap_err());
    assert!(header.iter().any(|fault| fault.starts_with("roster.csv:1: nmae: is no column")), "{header:?}");
    assert!(data.service.athlete(&data.console, "ok").await.is_err());
    assert!(data.service.athlete(&data.console, "ama").await.unwrap().value.name == "Ama Tidewell");
}
