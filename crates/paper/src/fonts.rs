//! The typefaces that the program carries, so that a sheet looks the same on every machine: Liberation 2.1.5 under the
//! SIL Open Font License 1.1 (`crates/paper/fonts/LICENSE`), which allows embedding in programs and documents.

use resvg::usvg::fontdb::{Database, Source};
use std::sync::{Arc, OnceLock};

/// Drawings, and what is filled in.
pub const SANS: &[u8] = include_bytes!("../fonts/LiberationSans-Regular.ttf");

/// Running text of documents.
pub const SERIF: &[u8] = include_bytes!("../fonts/LiberationSerif-Regular.ttf");
/// What is read first.
pub const SERIF_BOLD: &[u8] = include_bytes!("../fonts/LiberationSerif-Bold.ttf");
/// Remarks.
pub const SERIF_ITALIC: &[u8] = include_bytes!("../fonts/LiberationSerif-Italic.ttf");

/// What drawings may be set in: nothing of the system's.
pub fn database() -> Arc<Database> {
    static DATABASE: OnceLock<Arc<Database>> = OnceLock::new();
    let make = || {
        let mut database = Database::new();
        database.load_font_source(Source::Binary(Arc::new(SANS)));
        database.set_sans_serif_family("Liberation Sans");
        Arc::new(database)
    };
    Arc::clone(DATABASE.get_or_init(make))
}
