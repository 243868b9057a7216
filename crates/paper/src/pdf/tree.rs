//! What a document is made of, for who hears it instead of seeing it: headings, paragraphs, tables, figures, in the order
//! of reading.

/// A part of a document.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct PartId(usize);

/// What a part is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PartKind {
    /// What belongs together.
    Section,
    /// A heading with its level, from 1.
    Heading(u16, String),
    /// A paragraph.
    Text,
    /// Lines of a list.
    List,
    /// A line of a list.
    Item,
    /// The words of a line of a list.
    ItemBody,
    /// A drawing, told in words.
    Figure(String),
    /// A table.
    Table,
    /// Its head.
    TableHead,
    /// Its rows.
    TableBody,
    /// A row.
    Row,
    /// A cell over a column.
    HeadCell,
    /// A cell.
    Cell,
}

/// A part with what is under it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DocumentPart {
    /// What it is.
    pub kind: PartKind,
    /// Parts under it.
    pub under: Vec<PartId>,
}

/// A heading with its place, for the list of contents that readers of PDF show.
#[derive(Clone, Debug, PartialEq)]
pub struct OutlineEntry {
    /// Level, from 1.
    pub level: u16,
    /// Its words.
    pub text: String,
    /// Page from 0.
    pub page: usize,
    /// How far down.
    pub y: f64,
}

/// All parts.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tree {
    parts: Vec<DocumentPart>,
    top: Vec<PartId>,
    /// Headings in order.
    pub entries: Vec<OutlineEntry>,
}

impl Tree {
    /// Adds a part under another one, or at the top.
    pub fn add(&mut self, under: Option<PartId>, kind: PartKind) -> PartId {
        let id = PartId(self.parts.len());
        self.parts.push(DocumentPart { kind, under: Vec::new() });
        match under.and_then(|PartId(n)| self.parts.get_mut(n)) {
            Some(parent) => parent.under.push(id),
            None => self.top.push(id),
        }
        id
    }

    /// Parts at the top.
    pub fn top(&self) -> &[PartId] {
        &self.top
    }

    /// A part.
    pub fn get(&self, PartId(n): PartId) -> Option<&DocumentPart> {
        self.parts.get(n)
    }
}
