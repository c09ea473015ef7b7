//! The heats question and answer.

use classwright_training::floor::{Floor, HeatsAnswer, Layout};

use super::bindings::exports::classwright::policy::heats_rule as wit;
use super::question::Texts;
use super::{NONE, text};
use crate::FailureKind;

/// The lists of a question.
pub(crate) struct Sent<'a> {
    floor: &'a Floor,
    texts: Texts<'a>,
    athletes: Vec<wit::Athlete>,
    bouts: Vec<wit::Bout>,
    claims: Vec<wit::Claim>,
    stock: Vec<wit::StockRow>,
    bar_types: Vec<wit::BarType>,
    bars: Vec<wit::Bar>,
    loadings: Vec<wit::Loading>,
    plates: Vec<u32>,
    plate_stock: Vec<wit::PlateStock>,
    taken: Vec<wit::Taken>,
    together: Vec<wit::Pair>,
    apart: Vec<wit::Pair>,
    present: Option<wit::Layout>,
}

impl<'a> Sent<'a> {
    pub(crate) fn new(floor: &'a Floor) -> Self {
        let mut texts = Texts::default();
        let pair = |&(first, second): &(u32, u32)| wit::Pair { first, second };
        let mut plates = Vec::new();
        let loadings = floor.loadings.iter().map(|loading| {
            let first = plates.len() as u32;
            plates.extend_from_slice(loading);
            wit::Loading { first, count: loading.len() as u32 }
        });
        let claims = floor.bouts.iter().zip(0..).flat_map(|(bout, number)| {
            bout.claims.iter().map(move |&(kit, count)| wit::Claim { bout: number, kit, count })
        });
        Sent {
            floor,
            loadings: loadings.collect(),
            claims: claims.collect(),
            athletes: floor
                .athletes
                .iter()
                .map(|a| wit::Athlete { ready_s: a.ready_s, first_bout: a.first_bout, bout_count: a.bout_count })
                .collect(),
            bouts: floor.bouts.iter().map(bout).collect(),
            stock: floor
                .stock
                .iter()
                .map(|row| wit::StockRow { kit: texts.position(&row.name), count: row.count })
                .collect(),
            bar_types: floor
                .bar_types
                .iter()
                .map(|(name, mass)| wit::BarType { name: texts.position(name), mass_g: mass.grams() })
                .collect(),
            bars: floor
                .bars
                .iter()
                .map(|bar| wit::Bar { bar_type: bar.bar_type, free_from_s: bar.free_from_s, loading: bar.loading })
                .collect(),
            plate_stock: floor
                .plates
                .iter()
                .map(|&(mass, pairs)| wit::PlateStock { mass_g: mass.grams(), pairs })
                .collect(),
            taken: floor
                .taken
                .iter()
                .map(|taken| wit::Taken {
                    kit: taken.stock.unwrap_or(NONE),
                    plate: taken.plate.unwrap_or(NONE),
                    count: taken.count,
                    from_s: taken.from_s,
                    to_s: taken.to_s,
                })
                .collect(),
            together: floor.together.iter().map(pair).collect(),
            apart: floor.apart.iter().map(pair).collect(),
            present: floor.present.as_ref().map(layout),
            plates,
            texts,
        }
    }

    pub(crate) fn question<'b>(&'b self, settings: &'b str, effort: u64) -> wit::Question<'b> {
        wit::Question {
            texts: &self.texts.list,
            settings,
            effort,
            window_s: self.floor.window_s,
            now_s: self.floor.now_s,
            start_step_s: self.floor.start_step_s,
            coach_span: self.floor.coach_span,
            max_heats: self.floor.max_heats,
            setup_fixed_s: self.floor.setup_fixed_s,
            setup_pair_s: self.floor.setup_pair_s,
            stage_count: self.floor.stage_count,
            athletes: &self.athletes,
            bouts: &self.bouts,
            claims: &self.claims,
            stock: &self.stock,
            bar_types: &self.bar_types,
            bars: &self.bars,
            loadings: &self.loadings,
            plates: &self.plates,
            plate_stock: &self.plate_stock,
            taken: &self.taken,
            together: &self.together,
            apart: &self.apart,
            present: self.present.as_ref(),
        }
    }
}

fn bout(bout: &classwright_training::floor::Bout) -> wit::Bout {
    wit::Bout {
        athlete: bout.athlete,
        stage: bout.stage,
        duration_s: bout.duration_s,
        shortest_s: bout.shortest_s,
        longest_s: bout.longest_s,
        rest_least_s: bout.rest_least_s,
        rest_most_s: bout.rest_most_s.unwrap_or(NONE),
        watch: bout.watch,
        bar_type: bout.bar.map_or(NONE, |(bar_type, _)| bar_type),
        loading: bout.bar.map_or(NONE, |(_, loading)| loading),
    }
}

fn layout(layout: &Layout) -> wit::Layout {
    wit::Layout {
        heat_count: layout.starts.len() as u32,
        heat_of: layout.heat_of.clone(),
        starts: layout.starts.iter().flatten().map(|start| start.unwrap_or(NONE)).collect(),
        bar_of: layout.bar_of.iter().map(|bar| bar.unwrap_or(NONE)).collect(),
    }
}

/// Checks an answer for shape: every position points at something, heats have no gaps, every bout has a start.
pub(crate) fn answer(answer: Result<wit::Answer, String>, floor: &Floor) -> Result<HeatsAnswer, FailureKind> {
    let wit::Answer { plan, lower_bound_s, optimal } = answer.map_err(text::declined)?;
    let plan = checked(plan, floor).map_err(|what| FailureKind::AnswerMalformed { what })?;
    if optimal > 1 {
        return Err(FailureKind::AnswerMalformed { what: format!("`optimal` is {optimal}, not 0 or 1") });
    }
    Ok(HeatsAnswer { plan, lower_bound_s, optimal: optimal == 1 })
}

fn checked(plan: wit::Layout, floor: &Floor) -> Result<Layout, String> {
    let wit::Layout { heat_count, heat_of, starts, bar_of } = plan;
    let (heats, stages) = (heat_count as usize, floor.stage_count as usize);
    let length = |what: &str, found: usize, wanted: usize| match found == wanted {
        true => Ok(()),
        false => Err(format!("`{what}` has {found} entries and should have {wanted}")),
    };
    length("heat-of", heat_of.len(), floor.athletes.len())?;
    length("bar-of", bar_of.len(), floor.bouts.len())?;
    if heats > floor.athletes.len() {
        return Err(format!("there are {heats} heats for {} athletes", floor.athletes.len()));
    }
    length("starts", starts.len(), heats * stages)?;
    let mut used = vec![false; heats];
    for (&heat, athlete) in heat_of.iter().zip(0..) {
        match used.get_mut(heat as usize) {
            Some(used) => *used = true,
            None => return Err(format!("athlete {athlete} is in heat {heat}, and there are {heats}")),
        }
    }
    if let Some(gap) = used.iter().position(|used| !used) {
        return Err(format!("nobody is in heat {gap}; heats are numbered without gaps"));
    }
    if let Some((bout, bar)) =
        bar_of.iter().enumerate().find(|(_, bar)| **bar != NONE && **bar as usize >= floor.bars.len())
    {
        return Err(format!("bout {bout} has bar {bar}, and there are {}", floor.bars.len()));
    }
    let some = |number: u32| (number != NONE).then_some(number);
    let starts: Vec<Vec<Option<u32>>> = match stages {
        0 => vec![Vec::new(); heats],
        _ => starts.chunks(stages).map(|row| row.iter().copied().map(some).collect()).collect(),
    };
    for (bout, number) in floor.bouts.iter().zip(0..) {
        let heat = heat_of[bout.athlete as usize];
        if starts[heat as usize][bout.stage as usize].is_none() {
            return Err(format!("bout {number} has no start: heat {heat} does not start at stage {}", bout.stage));
        }
    }
    Ok(Layout { heat_of, starts, bar_of: bar_of.into_iter().map(some).collect() })
}
