//! Kit: bars one by one, plates in pairs, everything else counted. The same tables serve the floor and a home.
//!
//! What is out of service is left out, so that nobody plans with it. Bars and plates are put among the counted stock
//! too (`barbell`, `plate`), since movements need them as they need a mat.

use classwright_training::{Bar, BarType, Kit, KitIx, Mass, MovementLibrary, PlateStock, Stock};

use crate::error::Report;
use crate::file::Text;
use crate::file::quantity::mass;
use crate::file::toml::{Spot, Table, list, parsed, small, text, yes_or_no};
use crate::library::id;

/// The kit of the floor.
pub(super) fn read(file: &Text, library: &MovementLibrary, report: &Report) -> Option<Kit> {
    let mut whole = Table::parse(file, report)?;
    let kit = tables(&mut whole, library);
    whole.finish();
    Some(kit)
}

/// The kit in the tables `bar`, `plate` and `kit` of a table.
pub(super) fn tables(table: &mut Table<'_>, library: &MovementLibrary) -> Kit {
    let collar_pairs = table.maybe("collars", small(0, 500));
    let mut kit = Kit { collar: collar(table), collar_pairs, ..Kit::default() };
    for (n, row) in table.tables("bar").into_iter().enumerate() {
        bars(n, row, &mut kit);
    }
    for row in table.tables("plate") {
        plates(row, &mut kit);
    }
    kit.plates.sort_by_key(|row| std::cmp::Reverse(row.mass));
    for row in table.tables("kit") {
        stock(row, library, &mut kit);
    }
    count_bars_and_plates(&mut kit, library);
    kit
}

/// Renews the rows of `barbell` and `plate` among the counted stock.
pub(super) fn count_bars_and_plates(kit: &mut Kit, library: &MovementLibrary) {
    let (barbell, plate) = (library.find_kit("barbell"), library.find_kit("plate"));
    kit.stock.retain(|row| Some(row.kit) != barbell && Some(row.kit) != plate);
    if let Some(barbell) = barbell {
        kit.stock.push(Stock { kit: barbell, load: Mass::ZERO, count: kit.bars.len() as u32 });
    }
    if let Some(plate) = plate {
        let loose = kit.plates.iter().map(|row| Stock { kit: plate, load: row.mass, count: 2 * row.pairs });
        kit.stock.extend(loose);
    }
    kit.stock.retain(|row| row.count > 0);
    kit.stock.sort_by_key(|row| (row.kit, row.load));
}

fn collar(table: &mut Table<'_>) -> Mass {
    let spot = table.spot("collar");
    let counted = table.maybe("collars-counted", yes_or_no).unwrap_or(false);
    let collar = table.maybe("collar", parsed(mass));
    match (counted, collar) {
        (true, Some(collar)) => collar,
        (true, None) => {
            spot.wrong("is missing though collars are counted; write the mass of one, such as \"2.5 kg\"");
            Mass::ZERO
        }
        (false, _) => Mass::ZERO,
    }
}

/// A kind of bar and its bars. Without ids they are called by the letter of the kind: A1, A2, ..., B1, ...
fn bars(n: usize, mut row: Table<'_>, kit: &mut Kit) {
    let (type_spot, ids_spot, out_spot) = (row.spot("type"), row.spot("ids"), row.spot("out-of-service"));
    let bar_type = row.need("type", id);
    let name = row.need("name", text);
    let mass = row.need("mass", parsed(mass));
    let count = row.need("count", small(0, 200));
    let ids = row.maybe("ids", list(text));
    let out = row.maybe("out-of-service", list(text)).unwrap_or_default();
    row.finish();
    let (Some(id), Some(name), Some(mass), Some(count)) = (bar_type, name, mass, count) else {
        return;
    };
    if kit.bar_types.iter().any(|known| known.id == id) {
        type_spot.wrong(format!("`{id}` stands twice; put all bars of a type in one table"));
        return;
    }
    let letter = char::from(b'A' + (n % 26) as u8);
    let ids = ids.unwrap_or_else(|| (1..=count).map(|n| format!("{letter}{n}")).collect());
    if ids.len() != count as usize {
        ids_spot.wrong(format!("names {} bars, but count is {count}; name each of them once", ids.len()));
    }
    for (at, id) in ids.iter().enumerate() {
        if ids[..at].contains(id) || kit.bars.iter().any(|bar| bar.id == *id) {
            ids_spot.wrong(format!("`{id}` is the name of another bar too; give each its own"));
        }
    }
    for id in out.iter().filter(|id| !ids.contains(id)) {
        out_spot.wrong(format!("there is no bar `{id}` of this type; the bars are {}", ids.join(", ")));
    }
    let bar_type = kit.bar_types.len() as u32;
    kit.bar_types.push(BarType { id, name, mass });
    kit.bars.extend(ids.into_iter().filter(|id| !out.contains(id)).map(|id| Bar { id, bar_type }));
}

fn plates(mut row: Table<'_>, kit: &mut Kit) {
    let (mass_spot, out_spot) = (row.spot("mass"), row.spot("out-of-service"));
    let mass = row.need("mass", parsed(mass));
    let pairs = row.need("pairs", small(0, 500));
    let out = row.maybe("out-of-service", small(0, 500)).unwrap_or(0);
    row.finish();
    let (Some(mass), Some(pairs)) = (mass, pairs) else {
        return;
    };
    if kit.plates.iter().any(|known| known.mass == mass) {
        mass_spot.wrong(format!("plates of {mass} stand twice; write all pairs of a mass in one table"));
        return;
    }
    kit.plates.push(PlateStock { mass, pairs: in_service(pairs, out, &out_spot) });
}

fn stock(mut row: Table<'_>, library: &MovementLibrary, kit: &mut Kit) {
    let (kind_spot, mass_spot, out_spot) = (row.spot("kind"), row.spot("mass"), row.spot("out-of-service"));
    let kind = row.need("kind", parsed(|name| kind_named(name, library)));
    let load = row.maybe("mass", parsed(mass)).unwrap_or(Mass::ZERO);
    let count = row.need("count", small(0, 1_000));
    let out = row.maybe("out-of-service", small(0, 1_000)).unwrap_or(0);
    row.finish();
    let (Some(kind), Some(count)) = (kind, count) else {
        return;
    };
    if !is_told_by_itself(kind, library, &kind_spot) {
        return;
    }
    if kit.stock.iter().any(|known| known.kit == kind && known.load == load) {
        let id = &library.kit(kind).id;
        mass_spot.wrong(format!("`{id}` of this mass stands twice; write one table with the sum"));
        return;
    }
    kit.stock.push(Stock { kit: kind, load, count: in_service(count, out, &out_spot) });
}

/// False for bars and plates, which have fields of their own, with the fault told.
pub(super) fn is_told_by_itself(kind: KitIx, library: &MovementLibrary, spot: &Spot<'_>) -> bool {
    let own = match library.kit(kind).id.as_str() {
        "barbell" => "bar",
        "plate" => "plate",
        _ => return true,
    };
    spot.wrong(format!("is written under `{own}` in its own way; move it there"));
    false
}

/// The kind of kit with this name.
pub(super) fn kind_named(name: &str, library: &MovementLibrary) -> Result<KitIx, String> {
    let all = || library.kit_kinds().iter().map(|kind| kind.id.as_str()).collect::<Vec<_>>().join(", ");
    library.find_kit(name).ok_or_else(|| {
        format!("is `{name}`, no kind of kit; the kinds are {}, and kit-kinds.toml may add others", all())
    })
}

fn in_service(count: u32, out: u32, spot: &Spot<'_>) -> u32 {
    if out > count {
        spot.wrong(format!("is {out}, but there are only {count}; write how many of them cannot be used"));
    }
    count.saturating_sub(out)
}
