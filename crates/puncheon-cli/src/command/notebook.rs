//! A stock book that notes are added to: lines of text, JSON Lines or CSV, by the file's ending.

use std::fs::{File, OpenOptions};
use std::io::{Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use puncheon::{Options, Tables};
use puncheon_catalogue::{Enricher, Format, Watch};

use crate::kept::unusable;
use crate::out::{Failure, named, one_line};

/// The column that holds the description.
const MARKS: &str = "marks";
/// The column that holds the sentence of the screen.
const NOTE: &str = "note";

/// How notes are written.
#[derive(Clone, Copy, PartialEq)]
enum Form {
    Text,
    JsonLines,
    Csv,
}

/// A file that notes are added to, each whole or not at all.
pub struct Notebook {
    name: PathBuf,
    file: File,
    form: Form,
}

impl Notebook {
    pub fn open(name: &Path) -> Result<Notebook, Failure> {
        let ending = name.extension().and_then(|e| e.to_str());
        let form = match ending.map(str::to_ascii_lowercase).as_deref() {
            Some("csv") => Form::Csv,
            Some("jsonl" | "ndjson") => Form::JsonLines,
            Some("txt") | None => Form::Text,
            Some(other) => {
                return Err(Failure::Misuse(format!(
                    "{}: notes cannot be written as .{other}\n  name a file that ends in .txt, .jsonl or .csv",
                    named(name)
                )));
            }
        };
        let file = OpenOptions::new()
            .read(true)
            .append(true)
            .create(true)
            .open(name)
            .map_err(|e| unusable(name, &e))?;
        Ok(Notebook { name: name.to_path_buf(), file, form })
    }

    pub fn name(&self) -> String {
        named(&self.name)
    }

    /// Adds a note of one piece. A row counts every fit, and holds the sentence `note` beside, which
    /// tells the years that fit best from the others.
    pub fn add(
        &mut self,
        tables: &Tables,
        options: &Options,
        description: &str,
        note: &str,
    ) -> Result<(), Failure> {
        let mut enricher = Enricher::new(tables, MARKS);
        enricher.options.office.clone_from(&options.office);
        enricher.options.metal = options.metal;
        enricher.options.between = options.between;
        enricher.options.complete = options.complete;
        let line = match self.form {
            Form::Text => format!("{}\n", one_line(note)),
            Form::JsonLines => {
                let object = serde_json::json!({ MARKS: description, NOTE: note });
                enricher.format = Format::JsonLines;
                enriched(&enricher, &format!("{object}\n"))?
            }
            Form::Csv => {
                let cell = |text: &str| text.replace('"', "\"\"").replace(['\n', '\r'], " ");
                let (marks, note) = (cell(description), cell(note));
                let row = format!("{MARKS},{NOTE}\n\"{marks}\",\"{note}\"\n");
                let text = enriched(&enricher, &row)?;
                let (head, row) = text.split_once('\n').unwrap_or((&text, ""));
                let first = self.first_line()?;
                match first.as_str() {
                    "" => text,
                    known if known.trim_end() == head => row.to_string(),
                    other => {
                        return Err(Failure::Misuse(format!(
                            "{}: its columns are others: {}\n  name another file, or begin this one with {head}",
                            self.name(),
                            other.trim_end(),
                        )));
                    }
                }
            }
        };
        self.append(&line)
    }

    fn first_line(&mut self) -> Result<String, Failure> {
        let failed = |e| unusable(&self.name, &e);
        let mut head = vec![0; 4096];
        self.file.seek(SeekFrom::Start(0)).map_err(failed)?;
        let n = self.file.read(&mut head).map_err(failed)?;
        let text = String::from_utf8_lossy(&head[..n]).into_owned();
        Ok(text.lines().next().unwrap_or_default().to_string())
    }

    /// Adds a line at the end. If it cannot be written whole, the file is as it was.
    fn append(&mut self, line: &str) -> Result<(), Failure> {
        let failed = |e| unusable(&self.name, &e);
        let end = self.file.seek(SeekFrom::End(0)).map_err(failed)?;
        let mut bytes = Vec::with_capacity(line.len() + 1);
        if end > 0 {
            let mut last = [0];
            self.file.seek(SeekFrom::Start(end - 1)).map_err(failed)?;
            self.file.read_exact(&mut last).map_err(failed)?;
            if last != *b"\n" {
                bytes.push(b'\n');
            }
        }
        bytes.extend_from_slice(line.as_bytes());
        let written = self.file.write_all(&bytes).and_then(|()| self.file.sync_all());
        if let Err(e) = written {
            let _ = self.file.set_len(end);
            return Err(failed(e));
        }
        Ok(())
    }
}

/// A catalogue of one row with its answers, as any other is enriched.
fn enriched(enricher: &Enricher, catalogue: &str) -> Result<String, Failure> {
    let mut out = Vec::new();
    let watch = Watch { progress: &mut |_| true, rejects: None };
    let run = enricher.run(catalogue.as_bytes(), &mut out, watch);
    run.map_err(|e| Failure::Misuse(e.to_string()))?;
    Ok(String::from_utf8_lossy(&out).into_owned())
}
