//! The demo gym's people and kit, with a session of ten items, in a class of any size.
//!
//! People are the roster from its start, over and over.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use classwright_planning::{Class, OnShelf};
use classwright_policies::{Limits, Policy, Runtime, RuntimeOptions};
use classwright_store::Gym;
use classwright_training::{Athlete, MovementLibrary, Session, notation};

/// Ten items, each of one movement.
const SESSION: &str = "\
# Ten items
- length: 60 min

## Preparation: 2 rounds
- 10 bodyweight squat
- 6/side reverse lunge
- 0:20 plank

## Strength: every 2:30 x 5
- 3 back squat @ build 60-80% of back squat, RPE 8

## Conditioning: as many rounds as possible in 9:00
- 8 squat to press @ 40/30 kg
- 10 kettlebell swing @ 24/16 kg
- 6 pull-up
- 200 m run

## Cool-down
- 0:40/side hip-flexor stretch
- 0:40 child pose
";

/// A class.
pub(crate) struct Sized {
    pub(crate) gym: Gym,
    pub(crate) library: Arc<MovementLibrary>,
    pub(crate) session: Session,
    pub(crate) athletes: Vec<Athlete>,
}

/// The top of the repository.
pub(crate) fn top() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// A house policy as it is built.
pub(crate) fn house(name: &str) -> Vec<u8> {
    std::fs::read(top().join(format!("plugins/{name}/{name}.wasm"))).expect("`policy build` has built it")
}

/// A loaded policy.
pub(crate) fn loaded(component: &[u8]) -> Policy {
    let runtime = Runtime::new(RuntimeOptions::default()).expect("the runtime starts on this machine");
    runtime.load(component).expect("the host takes it")
}

impl Sized {
    /// So many people.
    pub(crate) fn new(athletes: usize) -> Self {
        let gym = classwright_store::open(&top().join("demo-gym")).expect("the demo gym is right");
        let library = Arc::new(gym.library.clone());
        let session = notation::parse(SESSION, &library).expect("the session is right");
        let athletes = gym.athletes.iter().cycle().take(athletes).cloned().collect();
        Sized { gym, library, session, athletes }
    }

    /// The class as it is planned.
    pub(crate) fn class<'a>(&'a self, shelf: &'a [OnShelf]) -> Class<'a> {
        Class {
            session: &self.session,
            library: &self.library,
            athletes: &self.athletes,
            floor_kit: &self.gym.floor_kit,
            home_kits: &self.gym.home_kits,
            rules: &self.gym.rules,
            shelf,
            unloaded: &[],
        }
    }
}

/// Limits that a measurement does not reach.
pub(crate) fn ample() -> Limits {
    Limits { fuel: u64::MAX / 2, wall: std::time::Duration::from_secs(60), ..Limits::default() }
}
