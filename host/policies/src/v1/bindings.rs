//! The Rust face of `wit/v1`, generated. One world that has all three rules, so that their types are generated once.

wasmtime::component::bindgen!({
    inline: "
        package classwright:host;
        world policies {
            include classwright:policy/scaling@1.0.0;
            include classwright:policy/substitution@1.0.0;
            include classwright:policy/heats@1.0.0;
        }
    ",
    path: "../../wit/v1",
    world: "classwright:host/policies",
    ownership: Borrowing { duplicate_if_necessary: false },
});
