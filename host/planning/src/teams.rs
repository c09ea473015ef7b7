//! Who works with whom in a part for pairs or relay teams, and what that means for kit.
//!
//! Teams are made in roster order from those on the floor. Partners are in one heat. One of a team works at a time, so
//! that a team holds the kit of its first member; the others hold only what differs. The written work is the team's.

use classwright_training::Session;
use classwright_training::floor::{Bout, Floor};
use classwright_training::session::Team;

/// The teams of a part: athletes on the floor by position.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartTeams {
    /// Part, from 0.
    pub part: usize,
    /// In roster order; the last may be short.
    pub teams: Vec<Vec<u32>>,
}

/// The teams of every part that has some, and the parts whose teams do not fit into those of the others: the largest
/// teams of the class are made first, and smaller ones are shares of them.
pub(crate) fn teams(session: &Session, athletes: usize) -> (Vec<PartTeams>, Vec<usize>) {
    let sizes: Vec<(usize, usize)> =
        session.parts.iter().enumerate().filter_map(|(at, part)| Some((at, size(part.team)?))).collect();
    let largest = sizes.iter().map(|(_, size)| *size).max().unwrap_or(1);
    let (fit, misfit): (Vec<_>, Vec<_>) = sizes.into_iter().partition(|(_, size)| largest.is_multiple_of(*size));
    let all: Vec<u32> = (0..athletes as u32).collect();
    let teams = |size: usize| {
        // Shares are made within each largest team, so that a short last one is not mixed with others.
        all.chunks(largest).flat_map(|team| team.chunks(size)).map(<[u32]>::to_vec).collect()
    };
    let made = fit.into_iter().map(|(part, size)| PartTeams { part, teams: teams(size) }).collect();
    (made, misfit.into_iter().map(|(part, _)| part).collect())
}

/// How many work together; none where each works alone.
pub(crate) fn size(team: Team) -> Option<usize> {
    match team {
        Team::Alone => None,
        Team::Pairs => Some(2),
        Team::Relay(size) => Some(size.max(2) as usize),
    }
}

/// Puts partners into one heat and takes off the floor what they share. `stages` names the part of each stage.
pub(crate) fn share(floor: &mut Floor, teams: &[PartTeams], stages: &[(usize, u32)]) {
    for PartTeams { part, teams } in teams {
        for team in teams {
            let Some((&first, others)) = team.split_first() else { continue };
            for &other in others {
                if !floor.together.contains(&(first, other)) {
                    floor.together.push((first, other));
                }
                for stage in (0..stages.len()).filter(|&stage| stages[stage].0 == *part) {
                    share_stage(floor, first, other, stage as u32);
                }
            }
        }
    }
}

fn share_stage(floor: &mut Floor, first: u32, other: u32, stage: u32) {
    let find = |bouts: &[Bout], athlete| bouts.iter().position(|b| b.athlete == athlete && b.stage == stage);
    let (Some(a), Some(b)) = (find(&floor.bouts, first), find(&floor.bouts, other)) else { return };
    let (bar, claims) = (floor.bouts[a].bar, floor.bouts[a].claims.clone());
    let partner = &mut floor.bouts[b];
    if partner.bar == bar {
        partner.bar = None;
    }
    partner.claims.retain(|claim| !claims.contains(claim));
}
