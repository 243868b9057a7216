//! `explain`: what a code or a constant means, why it is there, and where it comes from.

use super::args::ExplainArgs;
use super::show::json;
use super::text::{Columns, LEFT, wrapped};
use crate::reply::Reply;
use setwright_model::refusal::Refusals;
use setwright_present::explain::{self, Topic};

/// Prints one topic, or the list of all.
pub fn run(args: &ExplainArgs) -> Result<Reply, Refusals> {
    let Some(wanted) = &args.topic else {
        let all = explain::all();
        return Ok(Reply::data(if args.json { json(&all) } else { list(&all) }));
    };
    let topic = explain::find(wanted).map_err(|p| vec![p])?;
    Ok(Reply::data(if args.json { json(&topic) } else { page(&topic) }))
}

fn list(topics: &[Topic]) -> String {
    let mut columns = Columns::new(&[LEFT, LEFT]);
    for topic in topics {
        columns.row([topic.name.as_str(), topic.title.as_str()]);
    }
    columns.lines(0)
}

fn page(topic: &Topic) -> String {
    let mut out = wrapped(&format!("{}: {}", topic.name, topic.title), 0, 0);
    for (label, text) in
        [("value", topic.value.as_deref().unwrap_or("")), ("why", &topic.why), ("source", &topic.source)]
    {
        if !text.is_empty() {
            out.push_str(&wrapped(&format!("{label}: {text}"), 2, 4));
        }
    }
    out
}
