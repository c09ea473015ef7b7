//! Both ways do the same: a list of commands is run on data in hand, and on the same data against a host that runs.
//! What they print and how they end is compared, but for moments, secrets and who did it.

use super::host::{Data, Host};
use crate::support::Ran;

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
    "athlete add tamsin|Tamsin Reefgold|--skill|3",
    "athlete change tamsin --place floor --age 30 --json",
    "athlete change tamsin --skill 9",
    "athlete best tamsin|back squat|70 kg|--since|2026-11-01",
    "athlete limitation tamsin knee mild --side left --since 2026-11-20",
    "athlete limitation-end tamsin 1 --until 2026-11-30",
    "athlete show tamsin",
    "athlete show nobody",
    "athlete import demo-gym/roster.csv --dry-run",
    "athlete import demo-gym/roster.csv",
    "athlete record tamsin",
    "athlete best-remove tamsin 1",
    "athlete limitation-remove tamsin 1",
    "athlete limitation-remove tamsin 7",
    "athlete remove ama",
    "athlete erase tamsin",
    "athlete erase tamsin --yes",
    "kit list",
    "kit show",
    "kit out-of-service A5",
    "kit out-of-service A5 --back",
    "kit set floor demo-gym/kit.toml",
    "kit set attic demo-gym/kit.toml",
    "kit remove attic",
    "kit remove floor",
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
        assert_eq!(plain(&a.err), plain(&b.err), "{command}");
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
    at_home(data, data.run(&args.iter().map(String::as_str).collect::<Vec<_>>()))
}

fn ran_there(data: &Data, host: &Host, command: &str) -> Ran {
    let args = args(data, command);
    at_home(data, host.run(&args.iter().map(String::as_str).collect::<Vec<_>>()))
}

/// What was printed, without where the test's own folder is.
fn at_home(data: &Data, ran: Ran) -> Ran {
    let folder = data.beside("");
    Ran { code: ran.code, out: ran.out.replace(&folder, "@"), err: ran.err.replace(&folder, "@") }
}

/// What stands between words.
const BETWEEN: [char; 14] = [' ', '"', ',', ':', '/', '(', ')', '}', '{', '[', ']', ';', '.', '\''];

/// A text without what differs from run to run: moments, ids and secrets by chance, digests that hold these; and who did
/// it, which is the console here and the owner there. Columns are as wide as what stands in them.
fn plain(text: &str) -> String {
    let line = |line: &str| {
        let words: String = without_moments(line).split_inclusive(BETWEEN).map(word).collect();
        words.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    text.lines().map(line).collect::<Vec<_>>().join("\n")
}

/// `2026-12-07 18:00:00 UTC` is some moment.
fn without_moments(line: &str) -> String {
    let mut line = line.to_owned();
    while let Some(end) = line.find(" UTC") {
        line.replace_range(end.saturating_sub(19)..end + 4, "then");
    }
    line
}

fn word(text: &str) -> String {
    let end = text.find(BETWEEN).unwrap_or(text.len());
    let (own, rest) = text.split_at(end);
    let all = |is: fn(u8) -> bool| own.bytes().all(is);
    let number_of_ms = own.len() >= 13 && all(|byte| byte.is_ascii_digit());
    let digest = own.len() >= 12 && all(|byte| byte.is_ascii_hexdigit());
    // A user's, a token's: a letter for the kind, and ten digits by chance.
    let tail = own.get(2..).unwrap_or_default();
    let by_chance = own.len() == 12 && own[1..].starts_with('-') && tail.bytes().all(|byte| byte.is_ascii_hexdigit());
    let masked = if own == "console" || number_of_ms || digest || by_chance { "somebody" } else { own };
    format!("{masked}{rest}")
}

#[test]
fn the_comparison_sees_what_differs() {
    assert_eq!(plain("ama  by console at 1765130400000"), plain("ama by u-9f3a2b1c4d at 1765130400001"));
    assert_eq!(plain("ama 2026-12-07 18:00:00 UTC x"), plain("ama 2026-12-08 09:30:11 UTC x"));
    assert_ne!(plain("ama skill 4"), plain("ama skill 5"));
    assert_ne!(plain("monday-1"), plain("monday-2"));
}
