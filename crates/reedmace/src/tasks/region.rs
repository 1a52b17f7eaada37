//! The map a report shows.

use super::{Failure, Loaded, refused};
use crate::progress::Progress;
use reedmace_engine::{Map, MapRequest, Study};

/// The map of a study's report, where it has one.
pub(super) fn map(loaded: &Loaded, study: &Study) -> Result<Option<Map>, Failure> {
    let Some(request) = MapRequest::for_report(study) else { return Ok(None) };
    let progress = Progress::new("mapping");
    let progress = |done, of| progress.tick(done, of);
    loaded.bench.map(&loaded.design, &request, &progress).map(Some).map_err(refused)
}
