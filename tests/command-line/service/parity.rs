//! Both ways do the same: a list of commands is run on data in hand, and on the same data against a host that runs.
//! What they print and how they end is compared, but for moments, secrets and who did it.

use super::host::{Data, Host};
use crate::support::{Ran, top};

/// Every use case but those that are for whoever has the data in hand. `@` stands for the folder beside the data.
const COMMANDS: &[&str] = &[
    "gym list",
    "gym show",
    "gym rename|Quayside Hall",
    "gym rules --coach-span 10",
    "gym export @out",
    "gym import demo-gym --as quayside",
    "athlete list",
    "athlete list --json",
    "athlete add noor|Noor Fennick|--skill|3",
    "athlete change noor --place floor --age 30 --json",
    "athlete change noor --skill 9",
    "athlete best noor|back squat|70 kg|--since|2026-11-01",
    "athlete limitation noor knee mild --side left --since 2026-11-20",
    "athlete limitation-end noor 1 --until 2026-11-30",
    "athlete show noor",
    "athlete show nobody",
    "athlete import demo-gym/roster.csv --dry-run",
    "athlete import demo-gym/roster.csv",
    "athlete record noor",
    "athlete erase noor",
    "athlete erase noor --yes",
    "kit list",
    "kit show",
    "kit out-of-service A5",
    "kit out-of-service A5 --back",
    "kit set floor demo-gym/kit.toml",
    "movement list",
    "movement show tyre-flip",
    "movement set demo-gym/movements/tyre.toml",
    "movement remove no-such",
    "session kept",
    "session keep demo-gym/sessions/friday.md --as extra",
    "session keep DEVELOPERS.md",
    "session text extra",
    "session text extra --revision 7",
    "session revisions extra",
    "session remove extra",
    "class list --from 2026-12-07 --to 2026-12-09",
    "class show monday --json",
    "class add demo-gym/classes/monday.toml --as again",
    "class change again --time 09:30",
    "class attendance again",
    "class check-in again ama bram emre",
    "class check-out again farah",
    "class unchecked again farah",
    "class plan again",
    "class plan again --json",
    "class replan again --when +5:00 --gone bram",
    "class plans again",
    "class plan-text again-1 --json",
    "class replay again-1",
    "class cards again",
    "class card again ama",
    "class override again ama --item 1 --off --reason late",
    "class overrides again",
    "class watch again --after 0 --events 3",
    "class remove again",
    "policy list",
    "policy list --json",
    "policy show house-scaling",
    "policy install plugins/heats",
    "policy settings house-scaling",
    "policy limits house-heats --fuel 20000000000 --wall-ms 20000",
    "policy disable house-scaling",
    "policy enable house-scaling",
    "policy try house-scaling --classes last-366-days",
    "policy rollback house-scaling",
    "user list",
    "user add|Coach Quill|quill@quayside.example|--role|coach",
    "user role quill@quayside.example athlete",
    "user disable quill@quayside.example",
    "user enable quill@quayside.example",
    "token list",
    "ledger list",
    "ledger verify",
    "athlete list --gym nowhere",
];

#[test]
fn every_command_does_the_same_here_and_at_a_host() {
    let (here, there) = (Data::demo(), Data::demo());
    // Both have the same owner, since the host needs one for a token.
    let (_one, host) = (here.serve(), there.serve());
    for command in COMMANDS {
        let (a, b) = (ran_here(&here, command), ran_there(&there, &host, command));
        assert_eq!(a.code, b.code, "{command}:\n{}\n{}", a.err, b.err);
        assert_eq!(plain(&a.out), plain(&b.out), "{command}");
        // A host does not say of which gym somebody knows nothing whether it is there.
        if !command.contains("nowhere") {
            assert_eq!(plain(&a.err), plain(&b.err), "{command}");
        }
    }
}

fn args(data: &Data, command: &str) -> Vec<String> {
    let separator = if command.contains('|') { '|' } else { ' ' };
    let mut args: Vec<String> = Vec::new();
    for part in command.split(separator) {
        match args.is_empty() && separator == '|' {
            true => args.extend(part.split(' ').map(str::to_owned)),
            false => args.push(part.strip_prefix('@').map_or_else(|| part.to_owned(), |name| data.beside(name))),
        }
    }
    args
}

fn ran_here(data: &Data, command: &str) -> Ran {
    let args = args(data, command);
    data.run(&args.iter().map(String::as_str).collect::<Vec<_>>())
}

fn ran_there(data: &Data, host: &Host, command: &str) -> Ran {
    let args = args(data, command);
    host.run(&args.iter().map(String::as_str).collect::<Vec<_>>())
}

/// A text without what differs from run to run: moments, ids and secrets by chance, digests that hold these, folders of
/// the test; and who did it, which is the console here and the owner there.
fn plain(text: &str) -> String {
    let mut words: Vec<String> = Vec::new();
    for line in text.lines() {
        let line = line.split_inclusive([' ', '"', ',', ':', '/', '(', ')', '}', '{', '[', ']', ';', '.']).map(word);
        words.push(line.collect::<String>().split_whitespace().collect::<Vec<_>>().join(" "));
    }
    words.join("\n")
}

fn word(text: &str) -> String {
    let end = text.find([' ', '"', ',', ':', '/', '(', ')', '}', '{', '[', ']', ';', '.']).unwrap_or(text.len());
    let (own, rest) = text.split_at(end);
    let digits = own.bytes().all(|byte| byte.is_ascii_digit());
    let hexadecimal = own.len() >= 12 && own.bytes().all(|byte| byte.is_ascii_hexdigit());
    let chance = own.len() >= 12 && own.bytes().any(|b| b.is_ascii_digit()) && own.bytes().all(|b| b.is_ascii_alphanumeric() || b"_-".contains(&b));
    let masked = match own {
        "console" => "somebody",
        _ if (digits && own.len() >= 13) || hexadecimal || chance => "somebody",
        _ => own,
    };
    format!("{masked}{rest}")
}

#[test]
fn the_comparison_sees_what_differs() {
    assert_eq!(plain("ama  by console at 1765130400000"), plain("ama by u-9f3k2j1h4g5d at 1765130400001"));
    assert_ne!(plain("ama skill 4"), plain("ama skill 5"));
    assert_ne!(plain("monday-1"), plain("monday-2"));
    assert!(top().is_dir());
}
