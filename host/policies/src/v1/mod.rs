//! Version 1 of the contract: the only place that knows its names and shapes.
//!
//! Every answer is checked here for shape (positions, lengths, texts) while it is turned into training's types; after
//! that nobody looks at contract values again. A new major version is a new module beside this one.

pub(crate) mod answer;
mod bindings;
pub(crate) mod heats;
pub(crate) mod library;
pub(crate) mod question;
mod row;
mod text;

use bindings::classwright::policy::cards;
use bindings::exports::classwright::policy::{about, heats_rule};
use wasmtime::component::types::ComponentItem;
use wasmtime::component::{Component, ComponentExportIndex, ComponentNamedList, Instance, Lift, Lower};
use wasmtime::{Store, bail, format_err};

use crate::inspection::rule;
use crate::policy::CallState;
use crate::{Description, FailureKind, Inspection, Kind};

/// "No such thing" in a list position.
const NONE: u32 = u32::MAX;

type CardsIn<'a> = (question::Question<'a>,);
type CardsOut = (Result<cards::Answer, String>,);
type HeatsIn<'a> = (heats_rule::Question<'a>,);
type HeatsOut = (Result<heats_rule::Answer, String>,);

/// Where a component's functions are, looked up and type-checked once.
pub(crate) struct Exports {
    describe: ComponentExportIndex,
    scale: Option<ComponentExportIndex>,
    substitute: Option<ComponentExportIndex>,
    plan_heats: Option<ComponentExportIndex>,
}

impl Exports {
    pub(crate) fn find(component: &Component, inspection: &Inspection) -> wasmtime::Result<Self> {
        let find = Finder { component, inspection };
        Ok(Exports {
            describe: find.function::<(), (about::Description,)>("about", "describe")?,
            scale: find.rule::<CardsIn<'_>, CardsOut>(Kind::Scaling, "scale")?,
            substitute: find.rule::<CardsIn<'_>, CardsOut>(Kind::Substitution, "substitute")?,
            plan_heats: find.rule::<HeatsIn<'_>, HeatsOut>(Kind::Heats, "plan-heats")?,
        })
    }

    pub(crate) fn describe(&self, store: &mut Store<CallState>, at: &Instance) -> wasmtime::Result<about::Description> {
        let (description,) = call::<(), (about::Description,)>(store, at, Some(&self.describe), ())?;
        Ok(description)
    }

    pub(crate) fn scale(
        &self,
        store: &mut Store<CallState>,
        at: &Instance,
        question: question::Question<'_>,
    ) -> wasmtime::Result<Result<cards::Answer, String>> {
        let (answer,) = call::<CardsIn<'_>, CardsOut>(store, at, self.scale.as_ref(), (question,))?;
        Ok(answer)
    }

    pub(crate) fn substitute(
        &self,
        store: &mut Store<CallState>,
        at: &Instance,
        question: question::Question<'_>,
    ) -> wasmtime::Result<Result<cards::Answer, String>> {
        let (answer,) = call::<CardsIn<'_>, CardsOut>(store, at, self.substitute.as_ref(), (question,))?;
        Ok(answer)
    }

    pub(crate) fn plan_heats(
        &self,
        store: &mut Store<CallState>,
        at: &Instance,
        question: heats_rule::Question<'_>,
    ) -> wasmtime::Result<Result<heats_rule::Answer, String>> {
        let (answer,) = call::<HeatsIn<'_>, HeatsOut>(store, at, self.plan_heats.as_ref(), (question,))?;
        Ok(answer)
    }
}

fn call<P, R>(
    store: &mut Store<CallState>,
    at: &Instance,
    function: Option<&ComponentExportIndex>,
    parameters: P,
) -> wasmtime::Result<R>
where
    P: ComponentNamedList + Lower,
    R: ComponentNamedList + Lift,
{
    let Some(function) = function else { bail!("the policy has no rule of this kind") };
    at.get_typed_func::<P, R>(&mut *store, function)?.call(&mut *store, parameters)
}

struct Finder<'a> {
    component: &'a Component,
    inspection: &'a Inspection,
}

impl Finder<'_> {
    fn rule<P, R>(&self, kind: Kind, function: &str) -> wasmtime::Result<Option<ComponentExportIndex>>
    where
        P: ComponentNamedList + Lower,
        R: ComponentNamedList + Lift,
    {
        let is_there = self.inspection.kinds.contains(&kind);
        is_there.then(|| self.function::<P, R>(rule(kind), function)).transpose()
    }

    fn function<P, R>(&self, interface: &str, function: &str) -> wasmtime::Result<ComponentExportIndex>
    where
        P: ComponentNamedList + Lower,
        R: ComponentNamedList + Lift,
    {
        let missing = || format_err!("`{interface}` has no function `{function}`");
        let name = self.inspection.export(interface).ok_or_else(missing)?;
        let (item, instance) = self.component.get_export(None, name).ok_or_else(missing)?;
        let (item, index) = match item {
            ComponentItem::ComponentInstance(_) => {
                self.component.get_export(Some(&instance), function).ok_or_else(missing)?
            }
            _ => bail!("`{interface}` is not an interface"),
        };
        let ComponentItem::ComponentFunc(found) = item else {
            return Err(missing());
        };
        let ty = self.component.component_type();
        found.typecheck::<P, R>(&ty.instance_type()).map_err(|error| error.context(format!("`{function}`")))?;
        Ok(index)
    }
}

/// Checks what a policy says of itself.
pub(crate) fn description(said: about::Description, kinds: &[Kind]) -> Result<Description, FailureKind> {
    let about::Description { name, version, licence, kinds: said_kinds, purpose, settings_schema } = said;
    let malformed = |what: String| FailureKind::AnswerMalformed { what };
    let in_name = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    if name.is_empty() || name.len() > 64 || !name.chars().all(in_name) {
        let shown: String = name.escape_debug().take(80).collect();
        return Err(malformed(format!("the name `{shown}` is not 1 to 64 lower-case letters, digits and hyphens")));
    }
    if !is_version(&version) {
        let shown: String = version.escape_debug().take(80).collect();
        return Err(malformed(format!("the version `{shown}` is not a semantic version such as `1.2.0`")));
    }
    text::check("licence", &licence, 100)?;
    text::check("purpose", &purpose, 300)?;
    if settings_schema.is_empty() {
        return Err(malformed("the settings schema is empty; `{}` takes anything".into()));
    }
    let mut named: Vec<Kind> = said_kinds.iter().filter_map(|id| Kind::from_id(id)).collect();
    named.sort();
    named.dedup();
    if named != kinds || named.len() != said_kinds.len() {
        let exported: Vec<&str> = kinds.iter().map(|kind| kind.id()).collect();
        return Err(malformed(format!("the kinds do not agree with the exports, which are {}", exported.join(", "))));
    }
    Ok(Description { name, version, licence, kinds: named, purpose, settings_schema })
}

/// `major.minor.patch` with an optional pre-release or build after it.
fn is_version(text: &str) -> bool {
    let core = text.split(['-', '+']).next().unwrap_or_default();
    let is_number = |part: &str| !part.is_empty() && part.len() <= 9 && part.bytes().all(|b| b.is_ascii_digit());
    let rest = |c: char| c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | '+');
    text.len() <= 64 && core.split('.').count() == 3 && core.split('.').all(is_number) && text.chars().all(rest)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said() -> about::Description {
        about::Description {
            name: "by-the-book".into(),
            version: "1.0.0".into(),
            licence: "MIT".into(),
            kinds: vec!["scaling".into()],
            purpose: "Scales by the book.".into(),
            settings_schema: "{}".into(),
        }
    }

    fn refusal(said: about::Description) -> String {
        match description(said, &[Kind::Scaling]) {
            Err(FailureKind::AnswerMalformed { what }) => what,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn a_good_description_is_taken() {
        assert_eq!(description(said(), &[Kind::Scaling]).unwrap().kinds, [Kind::Scaling]);
        for version in ["0.0.1", "1.2.3-beta.1", "1.2.3+built", "10.20.30"] {
            assert!(is_version(version), "{version}");
        }
    }

    #[test]
    fn each_field_is_checked() {
        assert!(refusal(about::Description { name: "By The Book".into(), ..said() }).contains("name"));
        assert!(refusal(about::Description { purpose: "a\u{202e}b".into(), ..said() }).contains("purpose"));
        assert!(refusal(about::Description { licence: String::new(), ..said() }).contains("licence"));
        assert!(refusal(about::Description { settings_schema: String::new(), ..said() }).contains("schema"));
        for version in ["1", "1.0", "1.0.x", "", "1.0.0 beta"] {
            assert!(refusal(about::Description { version: version.into(), ..said() }).contains("version"), "{version}");
        }
        for kinds in [vec![], vec!["heats".into()], vec!["scaling".into(), "scaling".into()]] {
            assert!(refusal(about::Description { kinds, ..said() }).contains("kinds"));
        }
    }
}
