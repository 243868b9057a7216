//! The program as a coach meets it: commands run as processes, readers fed with what should not be.

#[cfg(test)]
mod all {
    pub mod accounts;
    pub mod api;
    pub mod arrivals;
    pub mod browser;
    pub mod commands;
    pub mod desk;
    pub mod docs;
    pub mod doors;
    pub mod errors;
    pub mod fuzz;
    pub mod hard;
    pub mod import;
    pub mod insight;
    pub mod kit;
    pub mod ledger;
    pub mod load;
    pub mod lost;
    pub mod network;
    pub mod no_room;
    pub mod paper;
    pub mod planned;
    pub mod readers;
    pub mod roadmap;
    pub mod roster;
    pub mod stepped;
    pub mod web;
    pub mod written;
}
