//! The contract's types and functions, generated from `wit/v1`.
//!
//! The card types are generated once and shared by both kinds that change cards. Each export has a world of its own
//! here, so that one component may answer several kinds; the type section of a world stands in its export macro, so
//! that a component carries only the exports it has. Imports can only be called inside a component: natively they
//! stop the program, so everything else in this crate goes through [`crate::Library`].
#![expect(missing_docs, reason = "generated: what the contract's documents leave unsaid")]

/// What every policy may import, and the card types.
pub mod common {
    wit_bindgen::generate!({
        inline: "
            package classwright:sdk;
            world common {
                import classwright:policy/library@1.0.0;
                import classwright:policy/last-words@1.0.0;
                import classwright:policy/cards@1.0.0;
            }
        ",
        path: "../wit/v1",
        generate_all,
        generate_unused_types: true,
        additional_derives: [PartialEq],
    });
}

/// What a policy says of itself.
pub mod about {
    wit_bindgen::generate!({
        inline: "
            package classwright:sdk;
            world about {
                export classwright:policy/about@1.0.0;
            }
        ",
        path: "../wit/v1",
        generate_all,
        pub_export_macro: true,
        additional_derives: [PartialEq],
    });
}

/// The scaling export.
pub mod scaling {
    wit_bindgen::generate!({
        inline: "
            package classwright:sdk;
            world scaling {
                export classwright:policy/scaling-rule@1.0.0;
            }
        ",
        path: "../wit/v1",
        generate_all,
        pub_export_macro: true,
        with: { "classwright:policy/cards@1.0.0": crate::wire::common::classwright::policy::cards },
    });
}

/// The substitution export.
pub mod substitution {
    wit_bindgen::generate!({
        inline: "
            package classwright:sdk;
            world substitution {
                export classwright:policy/substitution-rule@1.0.0;
            }
        ",
        path: "../wit/v1",
        generate_all,
        pub_export_macro: true,
        with: { "classwright:policy/cards@1.0.0": crate::wire::common::classwright::policy::cards },
    });
}

/// The heats export.
pub mod heats {
    wit_bindgen::generate!({
        inline: "
            package classwright:sdk;
            world heats {
                export classwright:policy/heats-rule@1.0.0;
            }
        ",
        path: "../wit/v1",
        generate_all,
        pub_export_macro: true,
        generate_unused_types: true,
        additional_derives: [PartialEq],
    });
}
