//! A published job shop or flow shop as a floor: a job is an athlete, a machine is kit of which there is one.

use serde_json::{Value, json};

/// The floor of an instance, in the form of the statement.
pub(crate) fn floor(instance: &Value) -> Value {
    let list = |value: &Value| value.as_array().expect("a list").clone();
    let jobs: Vec<Vec<(u64, u64)>> = match &instance["machines"] {
        Value::Array(machines) => machines
            .iter()
            .zip(list(&instance["durations"]))
            .map(|(machines, durations)| list(machines).iter().zip(&list(&durations)).map(number_pair).collect())
            .collect(),
        _ => {
            let rows = list(&instance["durations_machine_by_job"]);
            let jobs = list(&rows[0]).len();
            let seconds = |row: &Value, job: usize| row[job].as_u64().expect("seconds");
            let job = |job: usize| (0..).zip(&rows).map(|(machine, row)| (machine, seconds(row, job))).collect();
            (0..jobs).map(job).collect()
        }
    };
    let machines = 1 + jobs.iter().flatten().map(|(machine, _)| *machine).max().expect("a machine");
    let kit = |machine: u64| format!("machine {machine}");
    let bout = |&(machine, seconds): &(u64, u64)| json!({ "dur": seconds, "rest_min": 0, "rest_max": null, "bar": null, "use": { kit(machine): 1 } });
    let athlete = |(number, job): (usize, &Vec<(u64, u64)>)| json!({ "id": format!("job {number}"), "ready": 0, "bouts": job.iter().map(bout).collect::<Vec<_>>() });
    json!({
        "format": "heats-1",
        "name": instance["name"],
        "coach_limit": jobs.len(),
        "max_heats": jobs.len(),
        "setup_fixed_s": 0,
        "setup_pair_s": 0,
        "resources": (0..machines).map(|machine| (kit(machine), json!(1))).collect::<serde_json::Map<_, _>>(),
        "bars": [],
        "plates": {},
        "athletes": jobs.iter().enumerate().map(athlete).collect::<Vec<_>>(),
    })
}

fn number_pair((machine, seconds): (&Value, &Value)) -> (u64, u64) {
    (machine.as_u64().expect("a machine"), seconds.as_u64().expect("seconds"))
}
