//! Erasing an athlete: everything personal goes, and what has to stay (plans, cards, who was in a class) speaks of
//! somebody anonymous.
//!
//! What is found anywhere in the gym is put right: plans, cards, what was set by hand on them, classes, events. What a
//! plan was made from cannot be changed without the plan being another, so it is removed, and the plan can no longer be
//! computed anew. The ledger is not touched: it never had an id or a name of theirs. Texts that people wrote freely
//! (sessions, names of coaches and users) are theirs; where the person is named in them is told.

mod former;

use sqlx::{AnyConnection, AssertSqlSafe, Row};

use super::{DbError, Write, athletes, digest, kits};
use former::{Former, NAME};

/// What was done.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Erased {
    /// The id that stands in their place.
    pub stands: String,
    /// Plans that can no longer be computed anew, since what they were made from held personal data.
    pub plans_without_inputs: Vec<String>,
    /// Where texts that people wrote still name the person, in words.
    pub still_named: Vec<String>,
}

/// A column of JSON that may speak of somebody, with the columns that tell its rows apart.
struct Column {
    table: &'static str,
    key: &'static [&'static str],
    column: &'static str,
    /// Whether the row's `digest` is the digest of the column.
    sealed: bool,
}

/// Those in which what stands for the person is put in their place.
const REWRITTEN: [Column; 4] = [
    Column { table: "plans", key: &["plan"], column: "body", sealed: true },
    Column { table: "cards", key: &["plan", "athlete"], column: "body", sealed: false },
    Column { table: "overrides", key: &["class", "override"], column: "body", sealed: false },
    Column { table: "classes", key: &["class"], column: "body", sealed: false },
];

/// Erases an athlete.
pub async fn athlete(change: &mut Write, athlete: &str, expected: Option<i64>) -> Result<Erased, DbError> {
    let gym = change.gym().to_owned();
    let kept = athletes::get(change.conn(), &gym, athlete).await?;
    super::kept::hold("athlete", athlete, expected, kept.revision)?;
    let stands = free_id(change.conn(), &gym).await?;
    let former = Former { id: athlete.to_owned(), name: kept.value.name, stands: stands.clone() };
    leave_pairs(change, &former).await?;
    replace_row(change, &former).await?;
    if kept.value.place != kits::FLOOR {
        remove_empty_home(change, &kept.value.place).await?;
    }
    let plans_without_inputs = forget_inputs(change, &former).await?;
    for column in &REWRITTEN {
        rewrite(change, &former, column).await?;
    }
    rewrite_events(change, &former).await?;
    forget_answers(change, &former).await?;
    change.world_changed().await?;
    let still_named = still_named(change.conn(), &gym, &former).await?;
    Ok(Erased { stands, plans_without_inputs, still_named })
}

async fn free_id(conn: &mut AnyConnection, gym: &str) -> Result<String, DbError> {
    let query = sqlx::query("SELECT athlete FROM athletes WHERE gym = $1").bind(gym);
    let ids: Vec<String> = query.fetch_all(conn).await?.iter().map(|row| row.try_get(0)).collect::<Result<_, _>>()?;
    let free = (1..).map(|n| format!("erased-{n}")).find(|id| !ids.contains(id));
    free.ok_or_else(|| DbError::Damaged("there is no free id".into()))
}

/// Whoever is gone is in no pair of a class any more.
async fn leave_pairs(change: &mut Write, former: &Former) -> Result<(), DbError> {
    let gym = change.gym().to_owned();
    for kept in super::classes::list(change.conn(), &gym, super::classes::Span::default(), i64::MAX).await? {
        let mut record = kept.value.record;
        let pairs = record.together.len() + record.apart.len();
        record.together.retain(|pair| !pair.contains(&former.id));
        record.apart.retain(|pair| !pair.contains(&former.id));
        if record.together.len() + record.apart.len() < pairs {
            super::classes::put(change, &record, None).await?;
        }
    }
    Ok(())
}

/// Puts an anonymous row in place of theirs. Whatever belonged to them alone goes with it.
async fn replace_row(change: &mut Write, former: &Former) -> Result<(), DbError> {
    let (gym, at) = (change.gym().to_owned(), change.at());
    let Former { id, stands, .. } = former;
    let ledger_name = athletes::ledger_name(change.conn(), &gym, id).await?;
    sqlx::query(
        "INSERT INTO athletes (gym, athlete, position, revision, name, load_column, skill, place, tags, ledger_name,
         erased_at)
         SELECT gym, $3, position, 1, $4, 1, 1, 'floor', '[]', $5, $6 FROM athletes WHERE gym = $1 AND athlete = $2",
    )
    .bind(&gym)
    .bind(id)
    .bind(stands)
    .bind(NAME)
    .bind(athletes::random_name()?)
    .bind(at)
    .execute(change.conn())
    .await?;
    let both = |statement: &'static str| sqlx::query(statement).bind(&gym).bind(id);
    for statement in [
        "UPDATE class_athletes SET athlete = $3 WHERE gym = $1 AND athlete = $2",
        "UPDATE overrides SET athlete = $3 WHERE gym = $1 AND athlete = $2",
        "UPDATE cards SET athlete = $3 WHERE gym = $1 AND athlete = $2",
    ] {
        both(statement).bind(stands).execute(change.conn()).await?;
    }
    // A login that is for their own card only goes; that of a coach who trained is a coach's.
    for statement in [
        r#"DELETE FROM links WHERE gym = $1 AND "user" IN
           (SELECT "user" FROM users WHERE gym = $1 AND athlete = $2 AND role = 'athlete')"#,
        r#"DELETE FROM answers WHERE gym = $1 AND who IN
           (SELECT "user" FROM users WHERE gym = $1 AND athlete = $2 AND role = 'athlete')"#,
        "DELETE FROM users WHERE gym = $1 AND athlete = $2 AND role = 'athlete'",
        "UPDATE users SET athlete = NULL, revision = revision + 1 WHERE gym = $1 AND athlete = $2",
        "DELETE FROM athletes WHERE gym = $1 AND athlete = $2",
    ] {
        both(statement).execute(change.conn()).await?;
    }
    sqlx::query("UPDATE athletes SET ledger_name = $3 WHERE gym = $1 AND athlete = $2")
        .bind(&gym)
        .bind(stands)
        .bind(ledger_name)
        .execute(change.conn())
        .await?;
    Ok(())
}

/// What stands in somebody's home is theirs.
async fn remove_empty_home(change: &mut Write, home: &str) -> Result<(), DbError> {
    match kits::remove(change, home, None).await {
        Err(DbError::Needed { .. } | DbError::Missing { .. }) => Ok(()),
        other => other,
    }
}

/// Removes what plans were made from where it speaks of them, and says of which plans.
async fn forget_inputs(change: &mut Write, former: &Former) -> Result<Vec<String>, DbError> {
    let gym = change.gym().to_owned();
    let digests = speaking(change.conn(), &gym, former, "inputs", "digest", "body").await?;
    for digest in &digests {
        let query = sqlx::query("DELETE FROM inputs WHERE gym = $1 AND digest = $2").bind(&gym).bind(digest);
        query.execute(change.conn()).await?;
    }
    let mut plans = speaking(change.conn(), &gym, former, "plans", "plan", "inputs").await?;
    for digest in &digests {
        let rows = sqlx::query("SELECT plan FROM plans WHERE gym = $1 AND inputs LIKE $2")
            .bind(&gym)
            .bind(format!("%{digest}%"))
            .fetch_all(change.conn())
            .await?;
        for row in &rows {
            plans.push(row.try_get(0)?);
        }
    }
    plans.sort();
    plans.dedup();
    for plan in &plans {
        let query = sqlx::query("UPDATE plans SET inputs = 'null' WHERE gym = $1 AND plan = $2").bind(&gym).bind(plan);
        query.execute(change.conn()).await?;
    }
    Ok(plans)
}

/// Keys of rows in which a text speaks of them.
async fn speaking(
    conn: &mut AnyConnection,
    gym: &str,
    former: &Former,
    table: &str,
    key: &str,
    column: &str,
) -> Result<Vec<String>, DbError> {
    let [id, name] = former.patterns();
    let query = format!(
        r"SELECT {key}, {column} FROM {table} WHERE gym = $1
          AND ({column} LIKE $2 ESCAPE '\' OR {column} LIKE $3 ESCAPE '\' OR {column} LIKE $4 ESCAPE '\')"
    );
    let plain_name = format!("%{}%", former.name.replace('\\', "\\\\").replace('%', "\\%").replace('_', "\\_"));
    let query = sqlx::query(AssertSqlSafe(query)).bind(gym).bind(id).bind(name).bind(plain_name);
    let mut found = Vec::new();
    for row in query.fetch_all(conn).await? {
        if former.is_in(&row.try_get::<String, _>(1)?) {
            found.push(row.try_get(0)?);
        }
    }
    Ok(found)
}

async fn rewrite(change: &mut Write, former: &Former, column: &Column) -> Result<(), DbError> {
    let gym = change.gym().to_owned();
    let Column { table, key, column, sealed } = column;
    let [id, name] = former.patterns();
    let keys = key.join(", ");
    let query = format!(
        r"SELECT {column}, {keys} FROM {table} WHERE gym = $1
          AND ({column} LIKE $2 ESCAPE '\' OR {column} LIKE $3 ESCAPE '\')"
    );
    let found = sqlx::query(AssertSqlSafe(query)).bind(&gym).bind(id).bind(name).fetch_all(change.conn()).await?;
    for row in &found {
        let Some(new) = former.rewritten(&row.try_get::<String, _>(0)?) else { continue };
        let mut values = vec![(*column, new)];
        if *sealed {
            let seal = digest(&values[0].1);
            values.push(("digest", seal));
        }
        for (column, value) in values {
            let same: String = key.iter().zip(3..).map(|(key, at)| format!(" AND {key} = ${at}")).collect();
            let query = format!("UPDATE {table} SET {column} = $2 WHERE gym = $1{same}");
            let mut query = sqlx::query(AssertSqlSafe(query)).bind(&gym).bind(value);
            for at in 1..=key.len() {
                query = query.bind(row.try_get::<String, _>(at)?);
            }
            query.execute(change.conn()).await?;
        }
    }
    Ok(())
}

async fn rewrite_events(change: &mut Write, former: &Former) -> Result<(), DbError> {
    let gym = change.gym().to_owned();
    let [id, name] = former.patterns();
    let query = r"SELECT n, body FROM events WHERE gym = $1 AND (body LIKE $2 ESCAPE '\' OR body LIKE $3 ESCAPE '\')";
    for row in sqlx::query(query).bind(&gym).bind(id).bind(name).fetch_all(change.conn()).await? {
        let Some(new) = former.rewritten(&row.try_get::<String, _>(1)?) else { continue };
        let n: i64 = row.try_get(0)?;
        let query = sqlx::query("UPDATE events SET body = $3 WHERE gym = $1 AND n = $2").bind(&gym).bind(n).bind(new);
        query.execute(change.conn()).await?;
    }
    Ok(())
}

/// Answers to calls that spoke of them. Such a call, made again, is made anew, and fails: there is nobody of that id.
async fn forget_answers(change: &mut Write, former: &Former) -> Result<(), DbError> {
    let gym = change.gym().to_owned();
    let [id, name] = former.patterns();
    let query = r#"SELECT who, "key", body FROM answers WHERE gym = $1
                   AND (body LIKE $2 ESCAPE '\' OR body LIKE $3 ESCAPE '\')"#;
    for row in sqlx::query(query).bind(&gym).bind(id).bind(name).fetch_all(change.conn()).await? {
        if former.is_in(&row.try_get::<String, _>(2)?) {
            sqlx::query(r#"DELETE FROM answers WHERE gym = $1 AND who = $2 AND "key" = $3"#)
                .bind(&gym)
                .bind(row.try_get::<String, _>(0)?)
                .bind(row.try_get::<String, _>(1)?)
                .execute(change.conn())
                .await?;
        }
    }
    Ok(())
}

/// Where people wrote their name, in words.
async fn still_named(conn: &mut AnyConnection, gym: &str, former: &Former) -> Result<Vec<String>, DbError> {
    let mut found = Vec::new();
    for (what, statement) in [
        ("session", "SELECT session, text FROM session_texts WHERE gym = $1 ORDER BY session, revision"),
        ("coach of class", "SELECT class, coach FROM classes WHERE gym = $1 ORDER BY day, class"),
        ("user", r#"SELECT "user", name FROM users WHERE gym = $1 ORDER BY "user""#),
        ("own movement", "SELECT movement, body FROM movements WHERE gym = $1 ORDER BY position"),
    ] {
        for row in sqlx::query(statement).bind(gym).fetch_all(&mut *conn).await? {
            if former.is_named_in(&row.try_get::<String, _>(1)?) {
                let place = format!("{what} `{}`", row.try_get::<String, _>(0)?);
                if !found.contains(&place) {
                    found.push(place);
                }
            }
        }
    }
    Ok(found)
}
