//! From the component's exports to a policy: the thin border that the macros below expand to.
//!
//! Natively the macros expand to nothing, so that rules are tested and measured as plain Rust. In a component a panic
//! sends its text to the host before the component stops, which is how a coach and an author learn what went wrong.

use std::marker::PhantomData;

use crate::library::HostLibrary;
use crate::policy::{self, Heats, Policy, Scaling, Substitution};
use crate::wire::about::exports::classwright::policy::about;
use crate::wire::common::classwright::policy::{cards, last_words};
use crate::wire::heats::exports::classwright::policy::heats_rule;
use crate::wire::scaling::exports::classwright::policy::scaling_rule;
use crate::wire::substitution::exports::classwright::policy::substitution_rule;

/// A policy type that knows its kinds; the export macro writes it.
#[doc(hidden)]
pub trait Exported: Policy {
    /// Ids of the kinds it answers.
    const KINDS: &'static [&'static str];
}

/// Connects a policy with the component's exports.
#[doc(hidden)]
#[derive(Debug)]
pub struct Border<P>(PhantomData<P>);

impl<P: Exported> about::Guest for Border<P> {
    fn describe() -> about::Description {
        send_last_words();
        policy::describe::<P>(P::KINDS)
    }
}

impl<P: Scaling> scaling_rule::Guest for Border<P> {
    fn scale(question: cards::Question) -> Result<cards::Answer, String> {
        send_last_words();
        policy::scale::<P>(&question, &HostLibrary).map_err(|declined| declined.0)
    }
}

impl<P: Substitution> substitution_rule::Guest for Border<P> {
    fn substitute(question: cards::Question) -> Result<cards::Answer, String> {
        send_last_words();
        policy::substitute::<P>(&question, &HostLibrary).map_err(|declined| declined.0)
    }
}

impl<P: Heats> heats_rule::Guest for Border<P> {
    fn plan_heats(question: heats_rule::Question) -> Result<heats_rule::Answer, String> {
        send_last_words();
        policy::plan_heats::<P>(&question).map_err(|declined| declined.0)
    }
}

/// From now on a panic's text goes to the host.
fn send_last_words() {
    std::panic::set_hook(Box::new(|panic| last_words::say(&panic.to_string())));
}

/// Makes a component of a policy type. Name each kind that it implements, once a crate:
/// `export_policy!(House: scaling, substitution);`
#[macro_export]
macro_rules! export_policy {
    ($policy:ty : $($kind:ident),+ $(,)?) => {
        #[cfg(target_arch = "wasm32")]
        const _: () = {
            impl $crate::export::Exported for $policy {
                const KINDS: &'static [&'static str] = &[$(stringify!($kind)),+];
            }
            type Bordered = $crate::export::Border<$policy>;
            $crate::wire::about::export!(Bordered with_types_in $crate::wire::about);
            $($crate::wire::$kind::export!(Bordered with_types_in $crate::wire::$kind);)+
        };
    };
}

/// Makes a component of a type that implements [`Scaling`].
#[macro_export]
macro_rules! export_scaling {
    ($policy:ty) => {
        $crate::export_policy!($policy: scaling);
    };
}

/// Makes a component of a type that implements [`Substitution`].
#[macro_export]
macro_rules! export_substitution {
    ($policy:ty) => {
        $crate::export_policy!($policy: substitution);
    };
}

/// Makes a component of a type that implements [`Heats`].
#[macro_export]
macro_rules! export_heats {
    ($policy:ty) => {
        $crate::export_policy!($policy: heats);
    };
}
