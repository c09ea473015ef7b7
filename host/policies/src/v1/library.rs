//! The `library` and `last-words` interfaces: the only functions that a policy can call.
//!
//! The library is laid out in the contract's shape once and looked up by position in a call. What a policy asks for
//! costs it fuel by the length of what is asked and answered, so that fuel bounds the host's work too.

use std::sync::Arc;

use classwright_training::{LoadKind, Movement, MovementIx, MovementLibrary, Region, Sides};
use wasmtime::component::{Linker, LinkerInstance, WasmList, WasmStr};
use wasmtime::{Engine, StoreContextMut, Trap};

use super::bindings::classwright::policy::library::{Fact, Link, Names, Need};
use super::row::Row;
use crate::policy::CallState;

const LIBRARY: &str = "classwright:policy/library@1.0.0";
const LAST_WORDS: &str = "classwright:policy/last-words@1.0.0";

/// Fuel for any call of the host, and for each element that goes in or out.
const CALL_FUEL: u64 = 20;
const ELEMENT_FUEL: u64 = 4;

/// A policy asked for something that is not there.
#[derive(Debug, thiserror::Error)]
#[error("{0}")]
pub(crate) struct Misuse(String);

/// A movement library in the contract's shape.
pub(crate) struct Tables {
    library: Arc<MovementLibrary>,
    names: Arc<Names>,
    ids: Vec<Arc<str>>,
    facts: Vec<Row<Fact, 8>>,
    demands: Vec<[u8; Region::ALL.len()]>,
    needs: Vec<Vec<Row<Need, 3>>>,
    patterns: Vec<Vec<Row<Link, 2>>>,
    easier: Vec<Vec<Row<Link, 2>>>,
    with_pattern: Vec<Arc<[u32]>>,
}

impl Tables {
    pub(crate) fn new(library: &Arc<MovementLibrary>) -> Self {
        let owned = |id: &str| id.to_string();
        let names = Names {
            regions: Region::ALL.iter().map(|region| owned(region.id())).collect(),
            patterns: library.patterns().to_vec(),
            kit: library.kit_kinds().iter().map(|kit| kit.id.clone()).collect(),
            load_kinds: LoadKind::ALL.iter().map(|kind| owned(kind.id())).collect(),
        };
        let movements = library.movements();
        let numbered = || movements.iter().zip(0..);
        let links = |movement, to: &mut dyn Iterator<Item = u32>| to.map(|to| Row(Link { movement, to })).collect();
        Tables {
            names: Arc::new(names),
            ids: movements.iter().map(|movement| Arc::from(movement.id.as_str())).collect(),
            facts: movements.iter().map(|movement| Row(fact(movement))).collect(),
            demands: movements.iter().map(|movement| movement.demand).collect(),
            needs: numbered().map(|(movement, number)| needs(movement, number)).collect(),
            patterns: numbered().map(|(m, number)| links(number, &mut m.patterns.iter().copied())).collect(),
            easier: numbered().map(|(m, number)| links(number, &mut easier(m).iter().map(|ix| ix.0))).collect(),
            with_pattern: (0..library.patterns().len() as u32)
                .map(|pattern| library.with_pattern(pattern).iter().map(|ix| ix.0).collect())
                .collect(),
            library: Arc::clone(library),
        }
    }

    pub(crate) fn is_of(&self, library: &Arc<MovementLibrary>) -> bool {
        Arc::ptr_eq(&self.library, library)
    }
}

fn fact(movement: &Movement) -> Fact {
    let typical = |pace: Option<classwright_training::Pace>| pace.map_or(0, |pace| pace.typical_ms);
    Fact {
        pattern: movement.patterns.first().copied().unwrap_or(super::NONE),
        load_kind: movement.load_kind as u32,
        skill: movement.skill.into(),
        sides: match movement.sides {
            Sides::Both => 0,
            Sides::Each => 1,
            Sides::Alternating => 2,
        },
        rep_ms: typical(movement.rep),
        metre_ms: typical(movement.metre),
        calorie_ms: typical(movement.calorie),
        timed: movement.timed.into(),
    }
}

fn needs(movement: &Movement, number: u32) -> Vec<Row<Need, 3>> {
    movement.needs.iter().map(|need| Row(Need { movement: number, kit: need.kit.0, count: need.count })).collect()
}

/// Those to fall back on, then those that lead to it; each once.
fn easier(movement: &Movement) -> Vec<MovementIx> {
    let mut all: Vec<MovementIx> = Vec::new();
    for &ix in movement.regressed_to.iter().chain(&movement.progressed_from) {
        if !all.contains(&ix) {
            all.push(ix);
        }
    }
    all
}

/// All that a policy can import.
pub(crate) fn linker(engine: &Engine) -> wasmtime::Result<Linker<CallState>> {
    let mut linker = Linker::new(engine);
    library(&mut linker.instance(LIBRARY)?)?;
    linker.instance(LAST_WORDS)?.func_wrap("say", |mut store: Caller<'_>, (text,): (WasmStr,)| {
        let text = text.to_str(&store)?.into_owned();
        store.data_mut().hear(&text);
        Ok(())
    })?;
    Ok(linker)
}

type Caller<'a> = StoreContextMut<'a, CallState>;
type Numbers = (WasmList<u32>,);

fn library(at: &mut LinkerInstance<'_, CallState>) -> wasmtime::Result<()> {
    at.func_wrap("tables", |mut store: Caller<'_>, (): ()| {
        let names = Arc::clone(&tables(&store)?.names);
        let length = names.regions.len() + names.patterns.len() + names.kit.len() + names.load_kinds.len();
        pay(&mut store, length)?;
        Ok((names,))
    })?;
    at.func_wrap("count", |mut store: Caller<'_>, (): ()| {
        pay(&mut store, 0)?;
        Ok((tables(&store)?.facts.len() as u32,))
    })?;
    at.func_wrap("find", |mut store: Caller<'_>, (id,): (WasmStr,)| {
        let found = tables(&store)?.library.find(&id.to_str(&store)?);
        pay(&mut store, 1)?;
        Ok((found.map(|ix| ix.0),))
    })?;
    at.func_wrap("with-pattern", |mut store: Caller<'_>, (pattern,): (u32,)| {
        let found = tables(&store)?.with_pattern.get(pattern as usize).map(Arc::clone);
        let found = found.ok_or_else(|| Misuse(format!("with-pattern: there is no pattern number {pattern}")))?;
        pay(&mut store, found.len())?;
        Ok((found,))
    })?;
    at.func_wrap("ids", |mut store: Caller<'_>, (asked,): Numbers| {
        Ok((each(&mut store, "ids", &asked, |tables| &tables.ids)?,))
    })?;
    at.func_wrap("facts", |mut store: Caller<'_>, (asked,): Numbers| {
        Ok((each(&mut store, "facts", &asked, |tables| &tables.facts)?,))
    })?;
    at.func_wrap("demands", |mut store: Caller<'_>, (asked,): Numbers| {
        Ok((each(&mut store, "demands", &asked, |tables| &tables.demands)?.into_flattened(),))
    })?;
    at.func_wrap("needs", |mut store: Caller<'_>, (asked,): Numbers| {
        Ok((all(&mut store, "needs", &asked, |tables| &tables.needs)?,))
    })?;
    at.func_wrap("patterns-of", |mut store: Caller<'_>, (asked,): Numbers| {
        Ok((all(&mut store, "patterns-of", &asked, |tables| &tables.patterns)?,))
    })?;
    at.func_wrap("easier", |mut store: Caller<'_>, (asked,): Numbers| {
        Ok((all(&mut store, "easier", &asked, |tables| &tables.easier)?,))
    })
}

fn tables<'a>(store: &'a Caller<'_>) -> Result<&'a Tables, Misuse> {
    let library = store.data().library.as_deref();
    library.ok_or_else(|| Misuse("the movement library cannot be asked in this call".into()))
}

/// Takes the fuel for handing over so many elements.
fn pay(store: &mut Caller<'_>, elements: usize) -> wasmtime::Result<()> {
    let cost = CALL_FUEL.saturating_add(ELEMENT_FUEL.saturating_mul(elements as u64));
    match store.get_fuel()?.checked_sub(cost) {
        Some(rest) => store.set_fuel(rest),
        None => {
            store.set_fuel(0)?;
            Err(Trap::OutOfFuel.into())
        }
    }
}

/// The row of each movement asked for.
fn each<R: Clone>(
    store: &mut Caller<'_>,
    function: &str,
    asked: &WasmList<u32>,
    rows: impl Fn(&Tables) -> &Vec<R>,
) -> wasmtime::Result<Vec<R>> {
    pay(store, asked.len())?;
    let rows = rows(tables(store)?);
    let row =
        |number: &u32| rows.get(u32::from_le(*number) as usize).cloned().ok_or_else(|| unknown(function, *number));
    Ok(asked.as_le_slice(&*store).iter().map(row).collect::<Result<_, _>>()?)
}

/// The rows of all movements asked for, one after the other.
fn all<R: Clone>(
    store: &mut Caller<'_>,
    function: &str,
    asked: &WasmList<u32>,
    rows: impl Fn(&Tables) -> &Vec<Vec<R>>,
) -> wasmtime::Result<Vec<R>> {
    pay(store, asked.len())?;
    let rows = rows(tables(store)?);
    let mut found = Vec::with_capacity(asked.len());
    for number in asked.as_le_slice(&*store) {
        let row = rows.get(u32::from_le(*number) as usize).ok_or_else(|| unknown(function, *number))?;
        found.extend_from_slice(row);
    }
    pay(store, found.len())?;
    Ok(found)
}

fn unknown(function: &str, number: u32) -> Misuse {
    Misuse(format!("{function}: there is no movement number {}", u32::from_le(number)))
}
