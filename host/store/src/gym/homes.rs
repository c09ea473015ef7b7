//! `homes.toml`: what there is where an athlete trains at home.

use classwright_training::{Kit, MovementLibrary};

use super::kit;
use crate::error::Report;
use crate::file::Text;
use crate::file::toml::Table;
use crate::library::id;

/// Ids of the homes and their kit, in the same order.
pub(super) fn read(file: &Text, library: &MovementLibrary, report: &Report) -> (Vec<String>, Vec<Kit>) {
    let (mut homes, mut kits) = (Vec::new(), Vec::new());
    let Some(mut whole) = Table::parse(file, report) else {
        return (homes, kits);
    };
    for mut row in whole.tables("home") {
        let spot = row.spot("id");
        let id = row.need("id", id);
        let kit = kit::tables(&mut row, library);
        row.finish();
        let Some(id) = id else { continue };
        if id == "floor" || homes.contains(&id) {
            spot.wrong(format!("`{id}` stands for another place; choose another id"));
        }
        homes.push(id);
        kits.push(kit);
    }
    whole.finish();
    (homes, kits)
}
