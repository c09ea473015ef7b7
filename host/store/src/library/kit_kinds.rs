//! Kinds of kit, read from `kit-kinds.toml`: an id, a plain name, other names.

use std::collections::BTreeMap;

use classwright_training::library::KitKind;

use super::movement::id;
use crate::error::Report;
use crate::file::Text;
use crate::file::toml::{Table, list, text};

/// The kinds known so far with those of the file: added at the end, or in the place of one with the same id.
pub(super) fn read(file: &Text, mut kinds: Vec<KitKind>, report: &Report) -> Vec<KitKind> {
    let Some(mut whole) = Table::parse(file, report) else {
        return kinds;
    };
    let mut seen = Vec::new();
    // Who has each name, by id.
    let mut owners: BTreeMap<String, String> = BTreeMap::new();
    for kind in &kinds {
        owners.extend(names(kind).into_iter().map(|name| (name, kind.id.clone())));
    }
    for mut table in whole.tables("kit") {
        let id_spot = table.spot("id");
        let name_spot = table.spot("name");
        let id = table.need("id", id);
        let name = table.need("name", text);
        let aliases = table.maybe("aliases", list(text)).unwrap_or_default();
        table.finish();
        let (Some(id), Some(name)) = (id, name) else { continue };
        if seen.contains(&id) {
            id_spot.wrong(format!("`{id}` stands twice in this file; keep one"));
            continue;
        }
        let kind = KitKind { id, name, aliases };
        let own = names(&kind);
        let mut told: Vec<&str> = Vec::new();
        for name in &own {
            let other = owners.get(name).filter(|other| **other != kind.id && !told.contains(&other.as_str()));
            if let Some(other) = other {
                name_spot.wrong(format!("`{name}` is a name of `{other}` too; choose another"));
                told.push(other);
            }
        }
        owners.retain(|_, owner| *owner != kind.id);
        owners.extend(own.into_iter().map(|name| (name, kind.id.clone())));
        seen.push(kind.id.clone());
        match kinds.iter_mut().find(|known| known.id == kind.id) {
            Some(known) => *known = kind,
            None => kinds.push(kind),
        }
    }
    whole.finish();
    kinds
}

/// All names of a kind, as the library compares them.
fn names(kind: &KitKind) -> Vec<String> {
    let all = [&kind.id, &kind.name].into_iter().chain(&kind.aliases);
    all.map(|name| name.to_lowercase().replace('-', " ")).collect()
}
