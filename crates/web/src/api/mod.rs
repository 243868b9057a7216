//! What programs ask: JSON under `/api/v1`, each question with its role and its description in one place.

mod device;
mod reads;

use crate::app::App;
use crate::http::routes::Pages;

/// Everything under `/api/v1`.
pub fn routes() -> Pages<App> {
    reads::routes().merge(device::routes())
}
