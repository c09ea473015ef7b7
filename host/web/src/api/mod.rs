//! The routes, a file a topic: each declares them and holds their handlers.

mod athletes;
mod cards;
mod classes;
mod events;
mod exchange;
mod gym;
mod gyms;
mod host;
mod kit;
mod ledger;
mod links;
mod login;
mod movements;
mod overrides;
mod path;
mod plans;
mod policies;
mod sessions;
mod tokens;
mod users;

use crate::routes::Route;

/// Every route, topic by topic.
pub(crate) fn routes() -> Vec<Route> {
    [
        host::routes(),
        gym::routes(),
        gyms::routes(),
        events::routes(),
        ledger::routes(),
        plans::routes(),
        cards::routes(),
        overrides::routes(),
        policies::routes(),
        links::routes(),
        login::routes(),
        users::routes(),
        tokens::routes(),
        athletes::routes(),
        kit::routes(),
        movements::routes(),
        sessions::routes(),
        classes::routes(),
        exchange::routes(),
    ]
    .into_iter()
    .flatten()
    .collect()
}
