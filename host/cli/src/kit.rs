//! `classwright kit`: what there is on the floor and in homes, and what of it cannot be used.

use std::path::PathBuf;

use serde_json::{Value, json};

use crate::client::{Client, Connect};
use crate::error::CliError;
use crate::show::{column, table};
use crate::{Output, input};

/// Kit: what there is, and what of it is out of service.
#[derive(clap::Args)]
pub(crate) struct KitArgs {
    #[command(subcommand)]
    command: KitCommand,
    #[command(flatten)]
    connect: Connect,
}

#[derive(clap::Subcommand)]
enum KitCommand {
    /// The places that have kit: the floor, and homes.
    List,
    /// What there is in a place.
    Show {
        /// floor, or the id of a home.
        #[arg(default_value = "floor")]
        place: String,
    },
    /// Set what there is in a place; one that is new is made.
    Set {
        /// floor, or the id of a home.
        place: String,
        /// Tables as kit.toml of a gym folder has them.
        file: PathBuf,
    },
    /// Remove a home in which nobody trains.
    Remove {
        /// The home's id.
        place: String,
    },
    /// Take kit out of service until further notice, or put it back.
    OutOfService {
        /// A bar by what it is called (A6), or how many of some kit cannot be used: "row machine=2", "20 kg plate=1"
        /// (pairs); =0 puts it back.
        #[arg(required = true, value_name = "BAR|NAME=COUNT")]
        what: Vec<String>,
        /// Where: floor, or the id of a home.
        #[arg(long, default_value = "floor")]
        place: String,
        /// Put these bars back.
        #[arg(long)]
        back: bool,
    },
}

/// Runs the command.
pub(crate) fn run(args: &KitArgs) -> Result<Output, CliError> {
    let client = args.connect.client()?;
    let json = args.connect.json;
    match &args.command {
        KitCommand::List => {
            let list = client.list(client.gym(&["kit"])?)?;
            Output::told(json, &list, || table(&list, &[column("place", "/value/id")]))
        }
        KitCommand::Show { place } => {
            let answer = client.get(client.gym(&["kit", place])?)?;
            let kit = answer.json()?;
            Output::answered(json, &answer, || text(&kit["value"]))
        }
        KitCommand::Set { place, file } => set(&client, place, input::toml(file)?, json),
        KitCommand::Remove { place } => {
            client.remove(client.gym(&["kit", place])?)?;
            Output::told(json, &Value::Null, || format!("{place}: removed\n"))
        }
        KitCommand::OutOfService { what, place, back } => {
            let path = client.gym(&["kit", place])?;
            let answer = client.edit(path, |kit| what.iter().try_for_each(|what| out(kit, place, what, *back)))?;
            let kit = answer.json()?;
            Output::answered(json, &answer, || text(&kit["value"]))
        }
    }
}

fn set(client: &Client, place: &str, kit: Value, json: bool) -> Result<Output, CliError> {
    let path = client.gym(&["kit", place])?;
    let answer = match client.find(path.clone())? {
        Some(stands) => client.put(path, kit, stands.revision()?)?,
        None => client.create(client.gym(&["kit"])?, json!({ "id": place, "kit": kit }))?,
    };
    Output::answered(json, &answer, || format!("{place}: its kit is set\n"))
}

/// Takes one thing out of service, or puts it back.
fn out(kit: &mut Value, place: &str, what: &str, back: bool) -> Result<(), CliError> {
    match what.rsplit_once('=') {
        Some((name, count)) => {
            let name = name.trim();
            let number = || CliError::new(format!("error: {what}: write how many, such as \"{name}=2\""), 2);
            let count: u64 = count.trim().parse().map_err(|_| number())?;
            let plate = name.strip_suffix("plate").or_else(|| name.strip_suffix("plates")).map(str::trim);
            let (list, field, wanted) = match plate {
                Some(mass) => ("plate", "mass", mass),
                None => ("kit", "kind", name),
            };
            let found = items(kit, list).iter_mut().find(|own| same(own, field, wanted));
            found.ok_or_else(|| nothing(place, name))?["out-of-service"] = json!(count);
        }
        None => {
            let (_, bars) = (1..)
                .zip(items(kit, "bar"))
                .find(|(n, bars)| is_one_of(bars, *n, what))
                .ok_or_else(|| nothing(place, what))?;
            let mut out: Vec<Value> = bars["out-of-service"].as_array().cloned().unwrap_or_default();
            out.retain(|id| id.as_str() != Some(what));
            if !back {
                out.push(json!(what));
            }
            bars["out-of-service"] = json!(out);
        }
    }
    Ok(())
}

fn items<'a>(kit: &'a mut Value, list: &str) -> &'a mut [Value] {
    kit.get_mut(list).and_then(Value::as_array_mut).map_or(&mut [], Vec::as_mut_slice)
}

/// Whether a bar is of a kind: by the names it was given, or by the letter of the kind and a number.
fn is_one_of(bars: &Value, nth: u32, id: &str) -> bool {
    if let Some(ids) = bars["ids"].as_array() {
        return ids.iter().any(|own| own.as_str() == Some(id));
    }
    let letter = char::from_u32(u32::from('A') + nth - 1).unwrap_or('Z');
    let number = id.strip_prefix(letter).and_then(|number| number.parse::<u64>().ok());
    number.is_some_and(|number| (1..=bars["count"].as_u64().unwrap_or(0)).contains(&number))
}

fn same(item: &Value, field: &str, wanted: &str) -> bool {
    let plain =
        |text: &str| text.chars().filter(|c| !c.is_whitespace() && *c != '-').collect::<String>().to_lowercase();
    let own = item[field].as_str().unwrap_or_default();
    // Where things of a kind differ by mass, the mass is part of their name: "kettlebell 16 kg".
    let with_mass = format!("{own}{}", item["mass"].as_str().unwrap_or_default());
    plain(own) == plain(wanted) || (field == "kind" && plain(&with_mass) == plain(wanted))
}

fn nothing(place: &str, what: &str) -> CliError {
    CliError::new(format!("error: {place} has no `{what}`: `classwright kit show {place}` says what there is"), 2)
}

/// Kit for people.
fn text(kit: &Value) -> String {
    let bars = [
        column("bars", "/name"),
        column("mass", "/mass"),
        column("count", "/count"),
        column("out of service", "/out-of-service"),
    ];
    let plates = [column("plates", "/mass"), column("pairs", "/pairs"), column("out of service", "/out-of-service")];
    let counted = [
        column("kit", "/kind"),
        column("mass", "/mass"),
        column("count", "/count"),
        column("out of service", "/out-of-service"),
    ];
    let mut tables = Vec::new();
    for (list, columns) in [("bar", &bars[..]), ("plate", &plates), ("kit", &counted)] {
        if kit[list].as_array().is_some_and(|items| !items.is_empty()) {
            tables.push(table(&kit[list], columns));
        }
    }
    if tables.is_empty() { "nothing\n".into() } else { tables.join("\n") }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kit() -> Value {
        json!({
            "bar": [{ "type": "bar-20", "count": 6 }, { "type": "bar-15", "count": 3, "ids": ["L1", "L2", "L3"] }],
            "plate": [{ "mass": "20 kg", "pairs": 9 }],
            "kit": [{ "kind": "row-machine", "count": 8 }, { "kind": "kettlebell", "mass": "16 kg", "count": 4 }],
        })
    }

    #[test]
    fn what_is_named_is_found_and_nothing_else() {
        let mut kit = kit();
        for what in ["A6", "L2", "20 kg plates=1", "row machine=2", "kettlebell 16kg=1"] {
            out(&mut kit, "floor", what, false).unwrap_or_else(|error| panic!("{what}: {}", error.text));
        }
        assert_eq!(kit["bar"][0]["out-of-service"], json!(["A6"]));
        assert_eq!(kit["bar"][1]["out-of-service"], json!(["L2"]));
        assert_eq!(kit["plate"][0]["out-of-service"], 1);
        assert_eq!(kit["kit"][1]["out-of-service"], 1);
        out(&mut kit, "floor", "A6", true).expect("it is one of the bars");
        assert_eq!(kit["bar"][0]["out-of-service"], json!([]));
        for none in ["A7", "B1", "25 kg plate=1", "rope=1", "row machine=x"] {
            assert!(out(&mut kit, "floor", none, false).is_err(), "{none}");
        }
    }
}
