//! Records and the files of a gym folder say the same, both ways.

mod dated;
mod folder;
mod full;
mod made_up;
mod round_trip;
