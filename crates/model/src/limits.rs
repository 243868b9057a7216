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
/// Shortest and tallest client, in metres.
pub const HEIGHT_M: (f64, f64) = (1.0, 2.5);
/// Longest name, in characters.
pub const NAME_CHARS_MAX: usize = 80;
/// Longest sentence about a client, in characters.
pub const ABOUT_CHARS_MAX: usize = 1_000;
/// Most reps (or seconds, or metres) of a set that is read.
pub const REPS_MAX: u32 = 600;
/// Most reps of a lift that a strength is judged from.
pub const LIFT_REPS_MAX: u32 = 60;
/// Most reps in reserve that are taken as meant.
pub const RIR_MAX: u32 = 10;
/// Longest rest that is read, in seconds.
pub const REST_S_MAX: f64 = 1_800.0;
/// Most fractional sets a week that may be asked for a muscle.
pub const WEEKLY_SETS_MAX: f64 = 60.0;
/// Shortest and longest recovery that a coach may state, in hours.
pub const RECOVERY_H: (f64, f64) = (6.0, 336.0);
/// Lightest and heaviest bar, in kilograms.
pub const BAR_KG: (f64, f64) = (1.0, 40.0);
/// Lightest and heaviest disc, in kilograms.
pub const DISC_KG: (f64, f64) = (0.1, 50.0);
/// Most pairs of one disc.
pub const DISC_PAIRS_MAX: u32 = 40;
/// Lightest and heaviest dumbbell or kettlebell, in kilograms.
pub const HAND_WEIGHT_KG: (f64, f64) = (0.5, 120.0);
/// Finest and coarsest step of a stack, in kilograms.
pub const STACK_STEP_KG: (f64, f64) = (0.5, 30.0);
/// Widest gap at which a search may be told to stop.
pub const TOLERANCE_MAX: f64 = 0.5;
/// Most rows of a sheet that is read.
pub const SHEET_ROWS_MAX: usize = 2_000;
/// Most entries of one list of a brief.
pub const LIST_MAX: usize = 400;
/// The most there is on a scale of soreness that begins at 0.
pub const SORENESS_MAX: u32 = 10;
/// The most there is on a scale of how hard a session was that begins at 0.
pub const EFFORT_MAX: u32 = 10;
/// Most days that are marked as not as usual at once.
pub const SPELL_DAYS_MAX: u32 = 180;
/// Most days for which advice is put off.
pub const ADVICE_DAYS_MAX: u32 = 90;
/// Longest note in the ledger, in characters.
pub const NOTE_CHARS_MAX: usize = 2_000;
/// Most months for which a rule may keep what is said of a client (judgement: a century).
pub const RETENTION_MONTHS_MAX: u32 = 1_200;
/// Largest event in the ledger, in bytes of its JSON form.
pub const EVENT_BYTES_MAX: usize = 256 * 1024;
/// Most rows of a log that are imported at once.
pub const IMPORT_ROWS_MAX: usize = 2_000_000;
/// Largest log that is imported at once, in bytes.
pub const IMPORT_BYTES_MAX: u64 = 512 * 1024 * 1024;
/// Most weeks that a roadmap looks ahead.
pub const ROADMAP_WEEKS_MAX: u32 = 104;
/// Most sessions a week that somebody trains at present.
pub const PRESENT_SESSIONS_MAX: u32 = 14;
/// Most work sets a week that somebody does at present, in all.
pub const PRESENT_SETS_MAX: u32 = 400;
/// Most that is counted in a test: reps, or the seconds of a hold.
pub const TEST_COUNT_MAX: u32 = 900;
