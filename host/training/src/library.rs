//! The movement library: every movement with what it asks of a body and of the floor.
//!
//! [`MovementLibrary::new`] is the only way in; it refuses dangling references and repeated names, so that a
//! [`MovementIx`] always points at something. Where the data is kept is the store's business.

use std::borrow::Cow;

/// A body region. The list is the host's; policies see ids.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Region {
    /// Neck.
    Neck,
    /// Shoulder.
    Shoulder,
    /// Elbow.
    Elbow,
    /// Wrist and hand.
    Wrist,
    /// Upper back.
    UpperBack,
    /// Lower back.
    LowerBack,
    /// Hip and groin.
    Hip,
    /// Knee.
    Knee,
    /// Ankle and foot.
    Ankle,
}

impl Region {
    /// All regions, in the order of a movement's demands.
    pub const ALL: [Region; 9] = [
        Region::Neck,
        Region::Shoulder,
        Region::Elbow,
        Region::Wrist,
        Region::UpperBack,
        Region::LowerBack,
        Region::Hip,
        Region::Knee,
        Region::Ankle,
    ];

    /// The id used in files, JSON and the contract.
    pub const fn id(self) -> &'static str {
        match self {
            Region::Neck => "neck",
            Region::Shoulder => "shoulder",
            Region::Elbow => "elbow",
            Region::Wrist => "wrist",
            Region::UpperBack => "upper-back",
            Region::LowerBack => "lower-back",
            Region::Hip => "hip",
            Region::Knee => "knee",
            Region::Ankle => "ankle",
        }
    }

    /// The region with this id; a space may stand for the hyphen.
    pub fn from_id(id: &str) -> Option<Region> {
        let id = id.replace(' ', "-").to_lowercase();
        Region::ALL.into_iter().find(|region| region.id() == id)
    }
}

/// Position of a movement in the library.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MovementIx(pub u32);

/// Position of a kind of kit in the library.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct KitIx(pub u32);

/// What carries the load of a movement.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LoadKind {
    /// No external load.
    None,
    /// A bar with plates; the load is bar and plates together.
    Bar,
    /// Two equal implements; the load is that of each.
    Pair,
    /// One implement.
    Single,
    /// A machine's own resistance; not a mass.
    Machine,
    /// An elastic band; not a mass.
    Band,
    /// Bodyweight, to which load may be added.
    Added,
}

impl LoadKind {
    /// All kinds, in the order of the contract's table.
    pub const ALL: [LoadKind; 7] = [
        LoadKind::None,
        LoadKind::Bar,
        LoadKind::Pair,
        LoadKind::Single,
        LoadKind::Machine,
        LoadKind::Band,
        LoadKind::Added,
    ];

    /// The id used in files, JSON and the contract.
    pub const fn id(self) -> &'static str {
        match self {
            LoadKind::None => "none",
            LoadKind::Bar => "bar",
            LoadKind::Pair => "pair",
            LoadKind::Single => "single",
            LoadKind::Machine => "machine",
            LoadKind::Band => "band",
            LoadKind::Added => "added",
        }
    }

    /// The kind with this id.
    pub fn from_id(id: &str) -> Option<LoadKind> {
        LoadKind::ALL.into_iter().find(|kind| kind.id() == id)
    }

    /// How many implements of the load one person moves at once.
    pub const fn implements(self) -> u32 {
        match self {
            LoadKind::Pair => 2,
            LoadKind::Bar | LoadKind::Single | LoadKind::Added => 1,
            LoadKind::None | LoadKind::Machine | LoadKind::Band => 0,
        }
    }
}

/// How an amount is shared between the sides.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Sides {
    /// Both at once.
    Both,
    /// So much on each side.
    Each,
    /// So much in all, changing sides.
    Alternating,
}

impl Sides {
    /// The id used in JSON.
    pub const fn id(self) -> &'static str {
        match self {
            Sides::Both => "both",
            Sides::Each => "each",
            Sides::Alternating => "alternating",
        }
    }
}

/// Milliseconds for one unit of work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pace {
    /// Typical.
    pub typical_ms: u32,
    /// Quickest of the usual range.
    pub least_ms: u32,
    /// Slowest of the usual range.
    pub most_ms: u32,
}

/// Kit that one person claims.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Need {
    /// What.
    pub kit: KitIx,
    /// How many.
    pub count: u32,
}

/// A movement, its references resolved.
#[derive(Clone, Debug, PartialEq)]
pub struct Movement {
    /// Stable id.
    pub id: String,
    /// Plain name, as a coach writes it.
    pub name: String,
    /// Other names.
    pub aliases: Vec<String>,
    /// Positions in [`MovementLibrary::patterns`]; the first is the main one. Never empty.
    pub patterns: Vec<u32>,
    /// Demand 0 to 3 on each region, in the order of [`Region::ALL`].
    pub demand: [u8; 9],
    /// Kit that one person claims.
    pub needs: Vec<Need>,
    /// What carries the load.
    pub load_kind: LoadKind,
    /// How it is usually done.
    pub sides: Sides,
    /// Pace a repetition, where it is counted.
    pub rep: Option<Pace>,
    /// Pace a metre, where it is measured so.
    pub metre: Option<Pace>,
    /// Pace a kilocalorie on the machine's display, where it is measured so.
    pub calorie: Option<Pace>,
    /// True where it can be held or done for a time.
    pub timed: bool,
    /// Skill it asks for, 1 to 5.
    pub skill: u8,
    /// Easier movements that lead to it.
    pub progressed_from: Vec<MovementIx>,
    /// Easier movements to fall back on.
    pub regressed_to: Vec<MovementIx>,
    /// Short cues.
    pub cues: Vec<String>,
    /// Common faults.
    pub faults: Vec<String>,
}

impl Movement {
    /// Demand on a region, 0 to 3.
    pub fn demand_on(&self, region: Region) -> u8 {
        self.demand[region as usize]
    }
}

/// A kind of kit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KitKind {
    /// Stable id.
    pub id: String,
    /// Plain name, singular.
    pub name: String,
    /// Other names.
    pub aliases: Vec<String>,
}

/// A movement as written in a file, before its references are looked up.
#[derive(Clone, Debug, PartialEq)]
pub struct MovementEntry {
    /// The movement; `patterns`, `needs`, `progressed_from`, `regressed_to` empty.
    pub movement: Movement,
    /// Pattern ids.
    pub patterns: Vec<String>,
    /// Kit ids with counts.
    pub needs: Vec<(String, u32)>,
    /// Ids of easier movements that lead to it.
    pub progressed_from: Vec<String>,
    /// Ids of easier movements to fall back on.
    pub regressed_to: Vec<String>,
}

/// Something wrong in a movement's entry.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("movement `{movement}`, {field}: {problem}")]
pub struct LibraryError {
    /// Id of the movement.
    pub movement: String,
    /// Field of the entry.
    pub field: &'static str,
    /// What is wrong and what would be right.
    pub problem: String,
}

/// All movements and kinds of kit that a gym knows.
#[derive(Clone, Debug, Default)]
pub struct MovementLibrary {
    /// Sorted by id.
    movements: Vec<Movement>,
    patterns: Vec<String>,
    kit: Vec<KitKind>,
    /// Every name, folded and sorted.
    movement_names: Vec<(String, MovementIx)>,
    kit_names: Vec<(String, KitIx)>,
    by_pattern: Vec<Vec<MovementIx>>,
}

impl MovementLibrary {
    /// Looks up every reference. Movements are numbered in the order of their ids, so that the order of files
    /// changes nothing.
    pub fn new(kit: Vec<KitKind>, mut entries: Vec<MovementEntry>) -> Result<Self, Vec<LibraryError>> {
        entries.sort_by(|a, b| a.movement.id.cmp(&b.movement.id));
        let mut errors = Vec::new();
        for pair in entries.windows(2).filter(|pair| pair[0].movement.id == pair[1].movement.id) {
            errors.push(problem(&pair[1].movement.id, "id", "stands twice".into()));
        }
        let mut library = MovementLibrary {
            movement_names: movement_names(&entries, &mut errors),
            kit_names: kit_names(&kit),
            kit,
            ..MovementLibrary::default()
        };
        for pattern in entries.iter().flat_map(|entry| &entry.patterns) {
            if !library.patterns.contains(pattern) {
                library.patterns.push(pattern.clone());
            }
        }
        library.patterns.sort();
        library.by_pattern = vec![Vec::new(); library.patterns.len()];
        let mut references = Vec::with_capacity(entries.len());
        for MovementEntry { movement, patterns, needs, progressed_from, regressed_to } in entries {
            library.movements.push(movement);
            references.push((patterns, needs, progressed_from, regressed_to));
        }
        for ((patterns, needs, progressed_from, regressed_to), ix) in references.into_iter().zip(0..) {
            let patterns = library.patterns_of(ix, &patterns, &mut errors);
            let needs = library.needs_of(ix, &needs, &mut errors);
            let progressed_from = library.easier_of(ix, "progressed-from", &progressed_from, &mut errors);
            let regressed_to = library.easier_of(ix, "regressed-to", &regressed_to, &mut errors);
            for &pattern in &patterns {
                library.by_pattern[pattern as usize].push(MovementIx(ix));
            }
            let movement = &mut library.movements[ix as usize];
            (movement.patterns, movement.needs) = (patterns, needs);
            (movement.progressed_from, movement.regressed_to) = (progressed_from, regressed_to);
        }
        if errors.is_empty() { Ok(library) } else { Err(errors) }
    }

    fn patterns_of(&self, ix: u32, ids: &[String], errors: &mut Vec<LibraryError>) -> Vec<u32> {
        let position = |id: &String| self.patterns.binary_search(id).ok().map(|at| at as u32);
        let patterns: Vec<u32> = ids.iter().filter_map(position).collect();
        if patterns.is_empty() {
            errors.push(problem(self.id(ix), "patterns", "at least one is needed".into()));
        }
        patterns
    }

    fn needs_of(&self, ix: u32, needs: &[(String, u32)], errors: &mut Vec<LibraryError>) -> Vec<Need> {
        let mut found = Vec::with_capacity(needs.len());
        for (kit, count) in needs {
            match self.find_kit(kit) {
                Some(kit) => found.push(Need { kit, count: *count }),
                None => errors.push(problem(self.id(ix), "kit", format!("`{kit}` is no kind of kit"))),
            }
        }
        found
    }

    fn easier_of(
        &self,
        ix: u32,
        field: &'static str,
        ids: &[String],
        errors: &mut Vec<LibraryError>,
    ) -> Vec<MovementIx> {
        let mut found = Vec::with_capacity(ids.len());
        for id in ids {
            match self.find(id) {
                Some(easier) => found.push(easier),
                None => errors.push(problem(self.id(ix), field, format!("there is no movement `{id}`"))),
            }
        }
        found
    }

    fn id(&self, ix: u32) -> &str {
        &self.movements[ix as usize].id
    }

    /// The movement at a position.
    pub fn movement(&self, ix: MovementIx) -> &Movement {
        &self.movements[ix.0 as usize]
    }

    /// All movements, in order.
    pub fn movements(&self) -> &[Movement] {
        &self.movements
    }

    /// The movement with this id.
    pub fn find(&self, id: &str) -> Option<MovementIx> {
        let at = self.movements.binary_search_by(|movement| movement.id.as_str().cmp(id));
        at.ok().map(|at| MovementIx(at as u32))
    }

    /// The movement that a coach means by this name, alias or id; case, spaces and hyphens do not matter.
    pub fn named(&self, name: &str) -> Option<MovementIx> {
        find(&self.movement_names, &folded(name))
    }

    /// The known name nearest to what was written, if any is near.
    pub fn nearest_name(&self, name: &str) -> Option<&str> {
        let name = folded(name);
        let near = |(known, _): &&(String, MovementIx)| (strsim::damerau_levenshtein(known, &name), known.len());
        let (best, ix) = self.movement_names.iter().min_by_key(near)?;
        let distance = strsim::damerau_levenshtein(best, &name);
        let close = distance <= 1 + name.chars().count() / 3;
        close.then(|| self.movement(*ix).name.as_str())
    }

    /// Pattern ids, sorted.
    pub fn patterns(&self) -> &[String] {
        &self.patterns
    }

    /// The movements of a pattern, in order.
    pub fn with_pattern(&self, pattern: u32) -> &[MovementIx] {
        &self.by_pattern[pattern as usize]
    }

    /// All kinds of kit, in order.
    pub fn kit_kinds(&self) -> &[KitKind] {
        &self.kit
    }

    /// The kind of kit at a position.
    pub fn kit(&self, ix: KitIx) -> &KitKind {
        &self.kit[ix.0 as usize]
    }

    /// The kind of kit with this id, name or alias.
    pub fn find_kit(&self, name: &str) -> Option<KitIx> {
        find(&self.kit_names, &folded(name))
    }
}

fn find<T: Copy>(names: &[(String, T)], name: &str) -> Option<T> {
    let at = names.binary_search_by(|(known, _)| known.as_str().cmp(name)).ok()?;
    Some(names[at].1)
}

/// Every name of every movement; a name that two of them have is an error of the later one.
fn movement_names(entries: &[MovementEntry], errors: &mut Vec<LibraryError>) -> Vec<(String, MovementIx)> {
    let mut names = Vec::with_capacity(entries.len() * 8);
    for (MovementEntry { movement, .. }, ix) in entries.iter().zip(0..) {
        let all = [&movement.name].into_iter().chain(&movement.aliases).chain([&movement.id]);
        names.extend(all.map(|name| (folded(name), MovementIx(ix), name)));
    }
    // Stable: what has the same name stays in the order of the entries.
    names.sort_by(|a, b| a.0.cmp(&b.0));
    for pair in names.windows(2) {
        let [(first, one, _), (second, other, written)] = pair else { continue };
        if first == second && one != other {
            let [one, other] = [one, other].map(|ix| &entries[ix.0 as usize].movement.id);
            errors.push(problem(other, "name", format!("`{written}` is a name of `{one}` too")));
        }
    }
    names.dedup_by(|later, first| later.0 == first.0);
    names.into_iter().map(|(name, ix, _)| (name.into_owned(), ix)).collect()
}

/// Every name of every kind; of two kinds with one name, the first has it.
fn kit_names(kit: &[KitKind]) -> Vec<(String, KitIx)> {
    let mut names = Vec::with_capacity(kit.len() * 4);
    for (kind, ix) in kit.iter().zip(0..) {
        let all = [&kind.id, &kind.name].into_iter().chain(&kind.aliases);
        names.extend(all.map(|name| (folded(name).into_owned(), KitIx(ix))));
    }
    names.sort();
    names.dedup_by(|later, first| later.0 == first.0);
    names
}

/// Case, hyphens and runs of spaces do not tell names apart.
fn folded(name: &str) -> Cow<'_, str> {
    let bytes = name.as_bytes();
    // Nearly every name is written so already, and is looked up often: nothing is copied then.
    let plain = |byte: &u8| matches!(byte, b'!'..=b'~' | b' ') && !byte.is_ascii_uppercase() && *byte != b'-';
    let single = !bytes.windows(2).any(|pair| pair == b"  ");
    if bytes.iter().all(plain) && single && !name.starts_with(' ') && !name.ends_with(' ') {
        return Cow::Borrowed(name);
    }
    let lower = name.to_lowercase();
    let mut folded = String::with_capacity(lower.len());
    for word in lower.split(|c: char| c == '-' || c.is_whitespace()).filter(|word| !word.is_empty()) {
        if !folded.is_empty() {
            folded.push(' ');
        }
        folded.push_str(word);
    }
    Cow::Owned(folded)
}

fn problem(movement: &str, field: &'static str, problem: String) -> LibraryError {
    LibraryError { movement: movement.into(), field, problem }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_fold_alike() {
        for name in ["back squat", "Back-Squat", "  back \t squat ", "BACK  SQUAT", "-back--squat-", "back\u{a0}squat"]
        {
            assert_eq!(folded(name), "back squat", "{name:?}");
        }
        assert_eq!(folded("Élan"), "élan");
        assert_eq!(folded(" - "), "");
        assert!(matches!(folded("back squat"), Cow::Borrowed(_)));
    }

    #[test]
    fn kit_is_found_by_any_of_its_names_and_the_first_kind_has_a_shared_one() {
        let kind =
            |id: &str, alias: &str| KitKind { id: id.into(), name: id.replace('-', " "), aliases: vec![alias.into()] };
        let kit = vec![kind("pull-up-bar", "Rig"), kind("rope", "rig")];
        let library = MovementLibrary::new(kit, Vec::new()).unwrap();
        for name in ["pull-up-bar", "Pull up bar", "RIG"] {
            assert_eq!(library.find_kit(name), Some(KitIx(0)), "{name}");
        }
        assert_eq!(library.find_kit("rope"), Some(KitIx(1)));
        assert_eq!(library.find_kit("ropes"), None);
    }
}
