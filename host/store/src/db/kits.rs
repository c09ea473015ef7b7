//! Kit by place: the floor, and the homes in which people train.

use sqlx::AnyConnection;

use super::documents::Documents;
use super::kept::{found_in, hold};
use super::{DbError, Kept, Write};
use crate::record::{HomeRecord, KitRecord};

/// The place that every gym has.
pub const FLOOR: &str = "floor";

const KITS: Documents = Documents { table: "kits", key: "place", what: "place with kit" };

/// The kit of a place. A floor that nobody has put anything on is empty, at revision 0.
pub async fn get(conn: &mut AnyConnection, gym: &str, place: &str) -> Result<Kept<KitRecord>, DbError> {
    match KITS.find(conn, gym, place).await? {
        Some(kept) => Ok(kept),
        None if place == FLOOR => Ok(Kept { revision: 0, place: String::new(), value: KitRecord::default() }),
        None => Err(DbError::Missing { what: KITS.what, id: place.to_owned() }),
    }
}

/// Places with their kit after a place in the list: the floor first, once it has any, then the homes in the gym's order.
pub async fn list(
    conn: &mut AnyConnection,
    gym: &str,
    after: &str,
    limit: i64,
) -> Result<Vec<Kept<HomeRecord>>, DbError> {
    let found = KITS.list(conn, gym, after, limit).await?;
    Ok(found.into_iter().map(|kept| kept.map(|(id, kit)| HomeRecord { id, kit })).collect())
}

/// All kit: that of the floor, and the homes in the gym's order.
pub async fn all(conn: &mut AnyConnection, gym: &str) -> Result<(KitRecord, Vec<HomeRecord>), DbError> {
    let mut floor = KitRecord::default();
    let mut homes = Vec::new();
    for home in list(conn, gym, "", i64::MAX).await? {
        match home.value {
            HomeRecord { id, kit } if id == FLOOR => floor = kit,
            home => homes.push(home),
        }
    }
    Ok((floor, homes))
}

/// Adds a place with its kit, and gives back its revision.
pub async fn insert(change: &mut Write, place: &str, kit: &KitRecord) -> Result<i64, DbError> {
    KITS.insert(change, place, kit, place == FLOOR).await
}

/// Changes the kit of a place, and gives back its new revision.
pub async fn put(change: &mut Write, place: &str, kit: &KitRecord, expected: Option<i64>) -> Result<i64, DbError> {
    let gym = change.gym().to_owned();
    if place == FLOOR && get(change.conn(), &gym, place).await?.revision == 0 {
        hold(KITS.what, place, expected, 0)?;
        return insert(change, place, kit).await;
    }
    KITS.put(change, place, kit, expected).await
}

/// Removes a home. The floor stays, and so does a home in which somebody trains.
pub async fn remove(change: &mut Write, place: &str, expected: Option<i64>) -> Result<(), DbError> {
    let gym = change.gym().to_owned();
    get(change.conn(), &gym, place).await?;
    let needed = |why: String| DbError::Needed { what: KITS.what, id: place.to_owned(), why };
    if place == FLOOR {
        return Err(needed("every gym has a floor; put kit into it that has nothing in it".into()));
    }
    let there = found_in(
        change.conn(),
        "SELECT athlete FROM athletes WHERE gym = $1 AND place = $2 AND erased_at IS NULL ORDER BY position, athlete",
        &gym,
        place,
    );
    if let Some(athletes) = there.await? {
        return Err(needed(format!(
            "{athletes} would have no place to train; give whoever trains there another place first"
        )));
    }
    KITS.remove(change, place, expected).await
}
