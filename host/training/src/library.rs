//! The movement library: every movement with what it asks of a body and of the floor.
//!
//! [`MovementLibrary::new`] is the only way in; it refuses dangling references and repeated names, so that a
//! [`MovementIx`] always points at something. Where the data is kept is the store's business.

use std::collections::BTreeMap;

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
    movements: Vec<Movement>,
    patterns: Vec<String>,
    kit: Vec<KitKind>,
    by_name: BTreeMap<String, MovementIx>,
    by_id: BTreeMap<String, MovementIx>,
    by_pattern: Vec<Vec<MovementIx>>,
}

impl MovementLibrary {
    /// Looks up every reference. Movements are numbered in the order of their ids, so that the order of files
    /// changes nothing.
    pub fn new(kit: Vec<KitKind>, mut entries: Vec<MovementEntry>) -> Result<Self, Vec<LibraryError>> {
        entries.sort_by(|a, b| a.movement.id.cmp(&b.movement.id));
        let mut library = MovementLibrary { kit, ..MovementLibrary::default() };
        let mut errors = Vec::new();
        for (ix, entry) in entries.iter().enumerate() {
            let ix = MovementIx(ix as u32);
            let id = &entry.movement.id;
            if library.by_id.insert(id.clone(), ix).is_some() {
                errors.push(problem(id, "id", "stands twice".into()));
            }
            let names = [&entry.movement.name].into_iter().chain(&entry.movement.aliases);
            for name in names.chain([id]) {
                let other = library.by_name.insert(folded(name), ix);
                if other.is_some_and(|other| other != ix) {
                    let other = &entries[other.map_or(0, |ix| ix.0 as usize)].movement.id;
                    errors.push(problem(id, "name", format!("`{name}` is a name of `{other}` too")));
                }
            }
            for pattern in &entry.patterns {
                if !library.patterns.contains(pattern) {
                    library.patterns.push(pattern.clone());
                }
            }
        }
        library.patterns.sort();
        library.by_pattern = vec![Vec::new(); library.patterns.len()];
        for (ix, entry) in entries.into_iter().enumerate() {
            let movement = library.resolve(entry, &mut errors);
            for &pattern in &movement.patterns {
                library.by_pattern[pattern as usize].push(MovementIx(ix as u32));
            }
            library.movements.push(movement);
        }
        if errors.is_empty() { Ok(library) } else { Err(errors) }
    }

    fn resolve(&self, entry: MovementEntry, errors: &mut Vec<LibraryError>) -> Movement {
        let mut movement = entry.movement;
        let id = movement.id.clone();
        movement.patterns = entry
            .patterns
            .iter()
            .filter_map(|p| self.patterns.iter().position(|known| known == p))
            .map(|at| at as u32)
            .collect();
        if movement.patterns.is_empty() {
            errors.push(problem(&id, "patterns", "at least one is needed".into()));
        }
        for (kit, count) in entry.needs {
            match self.find_kit(&kit) {
                Some(kit) => movement.needs.push(Need { kit, count }),
                None => errors.push(problem(&id, "kit", format!("`{kit}` is no kind of kit"))),
            }
        }
        for (field, from, to) in [
            ("progressed-from", entry.progressed_from, &mut movement.progressed_from),
            ("regressed-to", entry.regressed_to, &mut movement.regressed_to),
        ] {
            for name in from {
                match self.by_id.get(&name) {
                    Some(&ix) => to.push(ix),
                    None => errors.push(problem(&id, field, format!("there is no movement `{name}`"))),
                }
            }
        }
        movement
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
        self.by_id.get(id).copied()
    }

    /// The movement that a coach means by this name, alias or id; case, spaces and hyphens do not matter.
    pub fn named(&self, name: &str) -> Option<MovementIx> {
        self.by_name.get(&folded(name)).copied()
    }

    /// The known name nearest to what was written, if any is near.
    pub fn nearest_name(&self, name: &str) -> Option<&str> {
        let name = folded(name);
        let near = |known: &&String| (strsim::damerau_levenshtein(known, &name), known.len());
        let best = self.by_name.keys().min_by_key(near)?;
        let distance = strsim::damerau_levenshtein(best, &name);
        let close = distance <= 1 + name.chars().count() / 3;
        close.then(|| self.movement(self.by_name[best]).name.as_str())
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
        let name = folded(name);
        let known = |kind: &KitKind| {
            [&kind.id, &kind.name].into_iter().chain(&kind.aliases).any(|known| folded(known) == name)
        };
        self.kit.iter().position(known).map(|at| KitIx(at as u32))
    }
}

/// Case, hyphens and runs of spaces do not tell names apart.
fn folded(name: &str) -> String {
    name.to_lowercase().replace('-', " ").split_whitespace().collect::<Vec<_>>().join(" ")
}

fn problem(movement: &str, field: &'static str, problem: String) -> LibraryError {
    LibraryError { movement: movement.into(), field, problem }
}
