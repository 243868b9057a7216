//! Checks from outside the project: published figures and facts of the trade, one file per section of the evidence
//! table. A miss is reported, never tuned away.
#![expect(clippy::unwrap_used, reason = "a helper of a test fails like the test itself")]

mod amounts;
mod by_hand;
mod capability;
mod coach;
mod constants;
mod nuts;
mod page;
mod properties;
mod section_1;
mod section_10;
mod section_11;
mod section_12;
mod section_13;
mod section_2;
mod section_3;
mod section_4;
mod section_5;
mod section_6;
mod section_7;
mod section_8;
mod section_9;
