//! Limits of what is accepted. Each has a test on both sides where it is enforced.

/// Shortest cycle, in days.
pub const CYCLE_DAYS_MIN: u32 = 5;
/// Longest cycle, in days.
pub const CYCLE_DAYS_MAX: u32 = 14;
/// Most sessions in a cycle.
pub const SESSIONS_MAX: u32 = 10;
/// Shortest session, in minutes.
pub const SESSION_MINUTES_MIN: f64 = 10.0;
/// Longest session, in minutes.
pub const SESSION_MINUTES_MAX: f64 = 180.0;
/// Most sets of one exercise in a session.
pub const SETS_MAX: u32 = 5;
/// Most sets of one exercise that a programme written by hand may hold.
pub const SETS_AUDIT_MAX: u32 = 30;
/// Most blocks in a session that is read.
pub const BLOCKS_MAX: usize = 40;
/// Largest file that is read, in bytes.
pub const FILE_BYTES_MAX: u64 = 4 * 1024 * 1024;
/// Heaviest load that is taken as meant, in kilograms.
pub const LOAD_KG_MAX: f64 = 600.0;
/// Lightest and heaviest body mass that is taken as meant, in kilograms.
pub const BODY_MASS_KG: (f64, f64) = (25.0, 300.0);
/// Youngest and oldest client, in years; the defaults are not for children.
pub const AGE_YEARS: (u32, u32) = (16, 100);
