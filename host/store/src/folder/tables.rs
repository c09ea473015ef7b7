//! The tables of a gym folder, both ways: roster, bests, limitations.

use crate::file::csv::{Row, text};
use crate::gym::{BESTS, LIMITATIONS, ROSTER};
use crate::record::{AthleteRecord, AthleteRecords, BestRecord, LimitationRecord};

pub(super) fn roster(athletes: &[AthleteRecords]) -> String {
    let number = |number: Option<u32>| number.map(|number| number.to_string()).unwrap_or_default();
    let row = |AthleteRecords { record, .. }: &AthleteRecords| {
        let record = record.clone();
        [
            record.id,
            record.name,
            record.column.to_string(),
            record.skill.to_string(),
            record.place,
            record.bar.unwrap_or_default(),
            record.training_share.unwrap_or_default(),
            number(record.return_week),
            number(record.age),
            record.mass.unwrap_or_default(),
            record.tags.join(";"),
        ]
    };
    csv(&ROSTER, athletes.iter().map(row))
}

/// Days have a column where somebody has one.
pub(super) fn bests(athletes: &[AthleteRecords]) -> String {
    let all =
        || athletes.iter().flat_map(|athlete| athlete.bests.iter().map(|best| (&athlete.record.id, best.clone())));
    let rows = all().map(|(id, best)| [id.clone(), best.movement, best.load, best.how, best.since.unwrap_or_default()]);
    shorter(BESTS, 4, rows.collect())
}

pub(super) fn limitations(athletes: &[AthleteRecords]) -> String {
    let own = |athlete: &AthleteRecords| {
        let id = athlete.record.id.clone();
        let row = move |one: LimitationRecord| {
            let [side, since, until] = [one.side, one.since, one.until].map(Option::unwrap_or_default);
            [id.clone(), one.region, side, one.severity, since, until]
        };
        athlete.limitations.clone().into_iter().map(row)
    };
    let rows = athletes.iter().flat_map(own).collect();
    shorter(LIMITATIONS, 4, rows)
}

/// A table without its last columns where nothing stands in them.
fn shorter<const N: usize>(header: [&str; N], least: usize, rows: Vec<[String; N]>) -> String {
    let used = rows.iter().filter_map(|row| row.iter().rposition(|field| !field.is_empty())).max().unwrap_or(0) + 1;
    let columns = used.max(least);
    let rows = rows.iter().map(|row| &row[..columns]);
    csv(&header[..columns], rows)
}

fn csv<H, R>(header: H, rows: impl Iterator<Item = R>) -> String
where
    H: IntoIterator<Item: AsRef<[u8]>>,
    R: IntoIterator<Item: AsRef<[u8]>>,
{
    let mut writer = csv::Writer::from_writer(Vec::new());
    let all = "memory takes every record of as many fields as the header";
    writer.write_record(header).expect(all);
    for row in rows {
        writer.write_record(row).expect(all);
    }
    let bytes = writer.into_inner().expect("memory takes every byte");
    String::from_utf8(bytes).expect("it was made of texts")
}

pub(super) fn athlete(row: &Row<'_>) -> Option<AthleteRecord> {
    let own = |column: &str| row.field(column).map(str::to_owned);
    let number = |column: &str| row.maybe(column, |text| text.parse().map_err(|_| "is no whole number".into()));
    let tags = row.field("tags").unwrap_or_default().split(';').map(str::trim);
    Some(AthleteRecord {
        id: row.need("id", text)?,
        name: row.need("name", text)?,
        column: number("column")?,
        skill: number("skill")?,
        place: row.need("place", text)?,
        bar: own("bar"),
        training_share: own("training-share"),
        return_week: number("return-week"),
        age: number("age"),
        mass: own("mass"),
        tags: tags.filter(|tag| !tag.is_empty()).map(str::to_owned).collect(),
    })
}

pub(super) fn best(row: &Row<'_>) -> Option<BestRecord> {
    Some(BestRecord {
        movement: row.need("movement", text)?,
        load: row.need("load", text)?,
        how: row.need("how", text)?,
        since: row.field("since").map(str::to_owned),
    })
}

pub(super) fn limitation(row: &Row<'_>) -> Option<LimitationRecord> {
    let own = |column: &str| row.field(column).map(str::to_owned);
    Some(LimitationRecord {
        region: row.need("region", text)?,
        side: own("side"),
        severity: row.need("severity", text)?,
        since: own("since"),
        until: own("until"),
    })
}
