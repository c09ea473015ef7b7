//! Records of numbers, written into a policy's memory a record at a time.
//!
//! The generated code finds the memory anew for each field, which is most of what a call for a large class would cost.
//! A [`Row`] finds it once a list. Its bytes are those of the contract: little-endian words, an `enum` a byte.

#![expect(unsafe_code, reason = "Wasmtime marks its traits for values of the contract so; see each impl")]

use std::mem::MaybeUninit;

use wasmtime::component::__internal::{CanonicalAbiInfo, InstanceType, InterfaceType, LowerContext};
use wasmtime::component::{ComponentType, Lower};

use super::bindings::classwright::policy::{cards, library};

/// A record that is a row of words, in the order of its fields.
pub(crate) trait Words<const W: usize>: Lower {
    fn words(&self) -> [u32; W];
}

/// A record in a list of a question.
#[derive(Clone, Copy)]
pub(crate) struct Row<T, const W: usize>(pub(super) T);

// SAFETY: everything is as the generated type `T` says, which `typecheck` compares with the component.
unsafe impl<T: Words<W>, const W: usize> ComponentType for Row<T, W> {
    type Lower = T::Lower;
    const ABI: CanonicalAbiInfo = T::ABI;
    const MAY_REQUIRE_REALLOC: bool = T::MAY_REQUIRE_REALLOC;

    fn typecheck(ty: &InterfaceType, types: &InstanceType<'_>) -> wasmtime::Result<()> {
        T::typecheck(ty, types)
    }
}

// SAFETY: one record is written by the generated code; a list has the size that `T` says (asserted) and is written
// through a checked slice of the policy's own memory.
unsafe impl<T: Words<W>, const W: usize> Lower for Row<T, W> {
    fn linear_lower_to_flat<U>(
        &self,
        cx: &mut LowerContext<'_, U>,
        ty: InterfaceType,
        dst: &mut MaybeUninit<Self::Lower>,
    ) -> wasmtime::Result<()> {
        self.0.linear_lower_to_flat(cx, ty, dst)
    }

    fn linear_lower_to_memory<U>(
        &self,
        cx: &mut LowerContext<'_, U>,
        ty: InterfaceType,
        offset: usize,
    ) -> wasmtime::Result<()> {
        self.0.linear_lower_to_memory(cx, ty, offset)
    }

    fn linear_store_list_to_memory<U>(
        cx: &mut LowerContext<'_, U>,
        _: InterfaceType,
        offset: usize,
        rows: &[Self],
    ) -> wasmtime::Result<()> {
        const { assert!(T::SIZE32 == W * 4, "the words are not those of the record") };
        let to = &mut cx.as_slice_mut()[offset..][..rows.len() * T::SIZE32];
        let (to, _) = to.as_chunks_mut::<4>();
        for (to, row) in to.chunks_exact_mut(W).zip(rows) {
            for (to, word) in to.iter_mut().zip(row.0.words()) {
                *to = word.to_le_bytes();
            }
        }
        Ok(())
    }
}

impl Words<8> for cards::Athlete {
    #[inline]
    fn words(&self) -> [u32; 8] {
        let &cards::Athlete { column, skill, place, return_week, age_years, body_mass_g, first_piece, piece_count } =
            self;
        [column, skill, place, return_week, age_years, body_mass_g, first_piece, piece_count]
    }
}

impl Words<3> for cards::Limitation {
    #[inline]
    fn words(&self) -> [u32; 3] {
        let &cards::Limitation { athlete, region, side, severity } = self;
        [athlete, region, side as u32 | (severity as u32) << 8]
    }
}

impl Words<4> for cards::Best {
    #[inline]
    fn words(&self) -> [u32; 4] {
        let &cards::Best { athlete, movement, load_g, tested } = self;
        [athlete, movement, load_g, tested]
    }
}

impl Words<2> for cards::Tag {
    #[inline]
    fn words(&self) -> [u32; 2] {
        let &cards::Tag { athlete, text } = self;
        [athlete, text]
    }
}

impl Words<15> for cards::Piece {
    #[inline]
    fn words(&self) -> [u32; 15] {
        let &cards::Piece { athlete, part, item, step, movement, times, measure, sides, .. } = self;
        let &cards::Piece { amount_low, amount_high, load_first_g, load_top_g, .. } = self;
        let &cards::Piece { best_permille, effort_tenths, range_percent, rep_ms, .. } = self;
        [
            athlete,
            part,
            item,
            step,
            movement,
            times,
            measure as u32 | (sides as u32) << 8,
            amount_low,
            amount_high,
            load_first_g,
            load_top_g,
            best_permille,
            effort_tenths,
            range_percent,
            rep_ms,
        ]
    }
}

impl Words<8> for library::Fact {
    #[inline]
    fn words(&self) -> [u32; 8] {
        let &library::Fact { pattern, load_kind, skill, sides, rep_ms, metre_ms, calorie_ms, timed } = self;
        [pattern, load_kind, skill, sides, rep_ms, metre_ms, calorie_ms, timed]
    }
}

impl Words<3> for library::Need {
    #[inline]
    fn words(&self) -> [u32; 3] {
        let &library::Need { movement, kit, count } = self;
        [movement, kit, count]
    }
}

impl Words<2> for library::Link {
    #[inline]
    fn words(&self) -> [u32; 2] {
        let &library::Link { movement, to } = self;
        [movement, to]
    }
}
