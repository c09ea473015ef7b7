//! What a gym owns as plain records, field by field as its folder's files say it.
//!
//! One shape serves the files, the API and the database. Quantities stand as they were written (`62.5 kg`, `1:30`), so
//! that nothing is lost on the way in or out. A record promises nothing: whether it is right is found out by the one
//! reader of gym folders, to which records are handed as files ([`GymRecords::files`]).
//!
//! Texts lose the blanks around them as they are read, as they do in a file.

mod athlete;
mod class;
mod gym;
mod kit;
mod movement;
mod shelf;
mod written;

pub use athlete::{AthleteRecord, AthleteRecords, BestRecord, LimitationRecord};
pub use class::{ClassRecord, KitOutRecord, OutRecord, PlatesOutRecord};
pub use gym::{GymRecords, HomeRecord, PlateChangeRecord, RulesRecord};
pub use kit::{BarsRecord, KitRecord, PlatesRecord, StockRecord};
pub use movement::{KitKindRecord, MovementRecord, SecondsRecord};
pub use shelf::{LimitsRecord, ShelfRecord};

/// Leaves a key out where its value says nothing.
pub(crate) fn is_default<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}
