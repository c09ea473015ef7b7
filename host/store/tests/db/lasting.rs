//! What was acknowledged is there after the process was killed, and nothing half.

use std::io::{BufRead, BufReader};
use std::process::{Command, Stdio};

use classwright_store::db::{Db, Place, events, gyms, ledger, verify};
use serde_json::json;

use crate::hall::{Ground, HALL, on_both};

const WHERE: &str = "CLASSWRIGHT_TESTS_WRITE_TO";

on_both!(an_acknowledged_change_outlives_its_process);

async fn an_acknowledged_change_outlives_its_process(ground: &Ground) {
    ground.with_gym().await.close().await;
    let place = match &ground.place {
        Place::File(path) => path.display().to_string(),
        Place::Server(url) => url.clone(),
    };
    for kill_after in [1, 2, 5, 20, 60] {
        let mut writer = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "lasting::write_until_killed", "--ignored", "--nocapture"])
            .env(WHERE, &place)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut acknowledged = 0;
        for (count, line) in BufReader::new(writer.stdout.take().unwrap())
            .lines()
            .map_while(Result::ok)
            .filter_map(|line| line.strip_prefix("kept ")?.parse().ok())
            .enumerate()
        {
            acknowledged = line;
            if count + 1 == kill_after {
                // SIGKILL; what comes out until then was acknowledged too.
                writer.kill().unwrap();
            }
        }
        assert!(!writer.wait().unwrap().success() && acknowledged >= kill_after as i64);
        let db = ground.open().await;
        let mut conn = db.read().await.unwrap();
        let kept = events::newest(&mut conn, HALL, "monday").await.unwrap();
        assert!(kept >= acknowledged, "{kept} kept, {acknowledged} acknowledged");
        assert_eq!(gyms::world(&mut conn, HALL).await.unwrap(), kept + 1);
        assert_eq!(ledger::newest(&mut conn, HALL).await.unwrap().unwrap().n, kept + 1);
        drop(conn);
        assert_eq!(verify::data(&db).await.unwrap(), []);
        db.close().await;
    }
}

#[tokio::test]
#[ignore = "never ends: it is what the test above starts and kills"]
async fn write_until_killed() {
    let db = Db::open(&Place::read(&std::env::var(WHERE).unwrap())).await.unwrap();
    loop {
        let mut w = db.write(HALL, "u1").await.unwrap();
        w.tell("monday", "n", &json!({ "text": "x".repeat(5_000) })).await.unwrap();
        w.world_changed().await.unwrap();
        w.note("n", "thing:1", json!({})).await.unwrap();
        w.commit().await.unwrap();
        println!("kept {}", events::newest(&mut db.read().await.unwrap(), HALL, "monday").await.unwrap());
    }
}
