//! Lanes: a session on a time axis. A block is a band, an exercise of it a lane. Work is solid and as high as its load is
//! heavy, notched when near failure; rest is a gap, walking a thin line, making ready and ramp pale. The clock is below.

use crate::svg::{BLACK, BLUE, GREY, PAPER, Svg, TextAnchor, VERMILION, cut, ticks, width};

/// A session to draw.
#[derive(Clone, Debug, PartialEq)]
pub struct Lanes {
    /// What it is, for who cannot see it: "Session 1, day 3".
    pub title: String,
    /// The client's limit in seconds.
    pub limit_s: Option<f64>,
    /// End of the last set in seconds.
    pub end_s: f64,
    /// Blocks in order.
    pub blocks: Vec<BlockBand>,
}

/// A block.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockBand {
    /// Its letter.
    pub label: String,
    /// Its exercises.
    pub lanes: Vec<Lane>,
}

/// An exercise of a block.
#[derive(Clone, Debug, PartialEq)]
pub struct Lane {
    /// Identifier of the exercise.
    pub id: String,
    /// Plain name.
    pub name: String,
    /// What is done: "3 x 8-12, 60 kg".
    pub what: String,
    /// What happens in it.
    pub bars: Vec<Bar>,
}

/// A stretch of time in a lane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bar {
    /// Seconds from the start of the session.
    pub from_s: f64,
    /// Seconds that it lasts.
    pub length_s: f64,
    /// What it is.
    pub kind: BarKind,
}

/// What happens in a stretch of time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum BarKind {
    /// A work set: load as a share of the maximum where it is known, and whether it ends near failure.
    Work {
        /// Share of the 1RM.
        share: Option<f64>,
        /// One rep in reserve or none.
        near_failure: bool,
    },
    /// A warm-up step.
    Ramp,
    /// Making a station ready, or moving to get warm.
    SetUp,
    /// Walking between stations.
    Walk,
    /// Rest.
    Rest,
}

const ROW: f64 = 30.0;
const NAME_ROW: f64 = 15.0;
const GAP: f64 = 10.0;
const LOW_GAP: f64 = 2.0;
const TEXT: f64 = 12.0;
const MARGIN: f64 = 6.0;
const LABELS_SHARE: f64 = 0.28;
/// Width under which names stand over their lanes instead of beside them.
const NARROW: f64 = 560.0;
/// Height of a bar whose load is not known, as a share of the row (judgement).
const SHARE_UNKNOWN: f64 = 0.7;

/// Room for the letter of a lane where its name stands elsewhere.
const LETTER_ROOM: f64 = 26.0;
/// Lowest lane in which bars can still be told apart (judgement).
const ROW_LEAST: f64 = 6.0;
/// Gap under a lane of the usual height.
const UNDER: f64 = 4.0;
/// Height of the clock where its unit stands beside it.
const CLOCK_LOW: f64 = 20.0;
/// Height of the clock under the lanes.
const CLOCK: f64 = 37.0;

/// Draws the lanes.
pub fn lanes(view: &Lanes, width_px: f64, prefix: &str) -> String {
    let names = if width_px < NARROW { Names::Above } else { Names::Beside };
    Drawing::new(view, width_px, prefix, names, ROW).draw()
}

/// Draws the lanes as low as this where that can be, with letters for names: for a sheet that lists the names below.
/// What is done in turn shares a lane: one works while the other rests.
pub fn low_lanes(view: &Lanes, (width, height): (f64, f64), prefix: &str) -> String {
    Drawing::new(view, width, prefix, Names::Letters, low_row(view, height)).draw()
}

/// How high low lanes become where so much is wished.
pub fn low_height(view: &Lanes, height: f64) -> f64 {
    let each = low_row(view, height) * (1.0 + UNDER / ROW) + LOW_GAP;
    MARGIN + each * view.blocks.len() as f64 + CLOCK_LOW
}

fn low_row(view: &Lanes, height: f64) -> f64 {
    let count = view.blocks.len();
    let gaps = LOW_GAP * count as f64;
    let each = (height - MARGIN - CLOCK_LOW - gaps) / count.max(1) as f64;
    (each / (1.0 + UNDER / ROW)).clamp(ROW_LEAST, ROW)
}

/// Where the names of exercises stand.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Names {
    Beside,
    Above,
    Letters,
}

struct Drawing<'a> {
    view: &'a Lanes,
    svg: Svg,
    width: f64,
    left: f64,
    scale: f64,
    names: Names,
    row: f64,
}

impl<'a> Drawing<'a> {
    fn new(view: &'a Lanes, width: f64, prefix: &str, names: Names, row: f64) -> Self {
        let left = match names {
            Names::Above => MARGIN,
            Names::Beside => (width * LABELS_SHARE).min(260.0),
            Names::Letters => LETTER_ROOM,
        };
        let end_s = view.end_s.max(view.limit_s.unwrap_or(0.0)).max(60.0);
        let scale = (width - left - MARGIN - 4.0) / end_s;
        Self { view, svg: Svg::new(prefix), width, left, scale, names, row }
    }

    fn x(&self, s: f64) -> f64 {
        self.left + s * self.scale
    }

    fn draw(mut self) -> String {
        let mut y = MARGIN;
        for (nth, block) in self.view.blocks.iter().enumerate() {
            self.svg.open("block", &format!("data-block=\"{nth}\""));
            let top = y;
            for (lane, of) in block.lanes.iter().enumerate() {
                let from = if self.names == Names::Letters { top } else { y };
                y = self.lane(block, nth, lane, of, from);
            }
            self.svg.close();
            y += if self.names == Names::Letters { LOW_GAP } else { GAP };
        }
        let height = self.clock(y);
        let description = self.description();
        self.svg.finish((self.width, height), &self.view.title, &description)
    }

    fn lane(&mut self, block: &BlockBand, nth: usize, lane: usize, of: &Lane, top: f64) -> f64 {
        let label =
            if block.lanes.len() > 1 { format!("{}{}", block.label, lane + 1) } else { block.label.clone() };
        let more = format!("data-block=\"{nth}\" data-lane=\"{lane}\"");
        self.svg.open("lane", &more);
        self.svg.title(&format!("{label} {}: {}", of.name, of.what));
        let y = if self.names == Names::Above { top + NAME_ROW } else { top };
        self.names(&label, of, top);
        let colour = if lane == 0 { BLUE } else { VERMILION };
        let ground = y + self.row;
        self.svg.line(
            [self.left, ground, self.width - MARGIN, ground],
            "hair",
            &format!("stroke=\"{GREY}\" stroke-width=\"0.5\""),
        );
        let shared = self.names == Names::Letters && block.lanes.len() > 1;
        for (index, bar) in of.bars.iter().enumerate().filter(|(_, b)| !shared || b.kind != BarKind::Rest) {
            self.bar(*bar, index, lane, colour, ground);
        }
        self.svg.close();
        ground + UNDER * self.row / ROW
    }

    fn names(&mut self, label: &str, of: &Lane, top: f64) {
        match self.names {
            Names::Above => {
                let room = self.width - 2.0 * MARGIN;
                let name = cut(&format!("{label}  {}", of.name), TEXT, room * 0.62);
                let what = cut(&of.what, TEXT - 1.0, room - width(&name, TEXT) - 8.0);
                self.svg.text((self.left, top + 11.0), TEXT, TextAnchor::Start, "ink", &name);
                self.svg.text((self.width - MARGIN, top + 11.0), TEXT - 1.0, TextAnchor::End, "soft", &what);
            }
            Names::Beside => {
                let room = self.left - 2.0 * MARGIN;
                let name = cut(&format!("{label}  {}", of.name), TEXT, room);
                self.svg.text((MARGIN, top + 14.0), TEXT, TextAnchor::Start, "ink", &name);
                let what = cut(&of.what, TEXT - 1.0, room);
                self.svg.text((MARGIN, top + 28.0), TEXT - 1.0, TextAnchor::Start, "soft", &what);
            }
            Names::Letters if label.ends_with(|c: char| c.is_ascii_digit() && c != '1') => {}
            Names::Letters => {
                let size = TEXT.min(self.row + 1.0);
                let letter = label.trim_end_matches(|c: char| c.is_ascii_digit());
                self.svg.text((0.0, top + self.row), size, TextAnchor::Start, "ink", letter);
            }
        }
    }

    fn bar(&mut self, bar: Bar, index: usize, lane: usize, colour: &str, ground: f64) {
        let (x, long) = (self.x(bar.from_s), (bar.length_s * self.scale).max(0.8));
        let low = self.row / ROW;
        match bar.kind {
            BarKind::Work { share, near_failure } => {
                let high = (self.row - 4.0 * low) * share.unwrap_or(SHARE_UNKNOWN).clamp(0.25, 1.0);
                let more = format!("data-bar=\"{index}\" fill=\"{colour}\"");
                let class = if lane == 0 { "work first" } else { "work second" };
                let top = ground - high;
                if near_failure && long > 3.0 {
                    let notch = (long * 0.4).min(5.0);
                    let points = [
                        (x, ground),
                        (x, top),
                        (x + long - notch, top),
                        (x + long - notch, top + high * 0.4),
                        (x + long, top + high * 0.4),
                        (x + long, ground),
                    ];
                    self.svg.path(&points, true, class, &more);
                } else {
                    self.svg.rect([x, top, long, high], class, &more);
                }
                if lane > 0 {
                    // The second exercise has a white line along its foot, to be told apart without colour.
                    self.svg.line(
                        [x, ground - 3.5 * low, x + long, ground - 3.5 * low],
                        "ground",
                        &format!("stroke=\"{PAPER}\" stroke-width=\"{:.1}\"", 1.4 * low),
                    );
                }
            }
            BarKind::Ramp => {
                let more = format!(
                    "fill=\"{colour}\" fill-opacity=\"0.25\" stroke=\"{colour}\" stroke-width=\"0.7\""
                );
                self.svg.rect([x, ground - 11.0 * low, long, 11.0 * low], "ramp", &more);
            }
            BarKind::SetUp => {
                let fill = self.svg.hatch("ready", GREY);
                self.svg.rect([x, ground - 6.0 * low, long, 6.0 * low], "ready", &format!("fill=\"{fill}\""));
            }
            BarKind::Walk => {
                let more = format!("stroke=\"{GREY}\" stroke-width=\"1.2\"");
                self.svg.line([x, ground - 3.0 * low, x + long, ground - 3.0 * low], "walk", &more);
            }
            BarKind::Rest => {
                let more =
                    format!("fill=\"none\" stroke=\"{GREY}\" stroke-width=\"0.6\" stroke-dasharray=\"2 2\"");
                self.svg.rect([x, ground - 7.0 * low, long, 7.0 * low], "rest", &more);
            }
        }
    }

    /// The clock below, and the limit: a line, a hatched wall where it is crossed.
    fn clock(&mut self, y: f64) -> f64 {
        let minutes = self.view.end_s.max(self.view.limit_s.unwrap_or(0.0)) / 60.0;
        let about = ((self.width - self.left) / 60.0).clamp(3.0, 12.0);
        self.svg.line(
            [self.left, y, self.width - MARGIN, y],
            "ink-line",
            &format!("stroke=\"{BLACK}\" stroke-width=\"1\""),
        );
        for minute in ticks(0.0, minutes, about) {
            let x = self.x(minute * 60.0);
            self.svg.line([x, y, x, y + 4.0], "ink-line", &format!("stroke=\"{BLACK}\" stroke-width=\"1\""));
            let anchor = if minute == 0.0 { TextAnchor::Start } else { TextAnchor::Middle };
            if x + width("100", TEXT - 1.0) / 2.0 < self.width {
                self.svg.text((x, y + 16.0), TEXT - 1.0, anchor, "soft", &format!("{minute:.0}"));
            }
        }
        if let Some(limit_s) = self.view.limit_s {
            let x = self.x(limit_s);
            self.svg.line(
                [x, MARGIN, x, y],
                "limit",
                &format!("stroke=\"{BLACK}\" stroke-width=\"1.2\" stroke-dasharray=\"6 3\""),
            );
            if self.view.end_s > limit_s + 1.0 {
                let fill = self.svg.hatch("wall", BLACK);
                self.svg.rect(
                    [x, MARGIN, self.x(self.view.end_s) - x, y - MARGIN],
                    "wall",
                    &format!("fill=\"{fill}\" fill-opacity=\"0.5\""),
                );
            }
        }
        if self.names == Names::Letters {
            self.svg.text((0.0, y + 16.0), TEXT - 1.0, TextAnchor::Start, "soft", "min");
            return y + CLOCK_LOW;
        }
        self.svg.text((self.left, y + 31.0), TEXT - 1.0, TextAnchor::Start, "soft", "minutes");
        y + CLOCK
    }

    fn description(&self) -> String {
        let lanes: Vec<String> = self
            .view
            .blocks
            .iter()
            .map(|b| {
                // Where the names stand below, so do the loads, and they need not be heard twice.
                let told = |l: &Lane| match self.names {
                    Names::Letters => l.name.clone(),
                    Names::Above | Names::Beside => format!("{}, {}", l.name, l.what),
                };
                let names: Vec<String> = b.lanes.iter().map(told).collect();
                format!("{}: {}", b.label, names.join("; in turn with "))
            })
            .collect();
        let limit = self.view.limit_s.map_or_else(String::new, |s| format!(" of {:.0}", s / 60.0));
        format!("{:.0}{limit} minutes. {}.", self.view.end_s / 60.0, lanes.join(". "))
    }
}
