//! `skid man`: the manual, as pages for `man`.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::Context;
use clap::{Args, Command, CommandFactory};
use clap_mangen::Man;
use serde_json::json;

use crate::commands::ending::Ending;
use crate::commands::{Skid, output};

/// Where to.
#[derive(Debug, Args)]
pub(crate) struct ManOptions {
    /// The directory to write a page for every command into; without it, all of the manual is written to standard
    /// output as one page.
    #[arg(long, value_name = "DIRECTORY")]
    out: Option<PathBuf>,
}

/// Writes it.
pub(crate) fn run(options: &ManOptions, json: bool) -> anyhow::Result<Ending> {
    let mut skid = Skid::command().disable_help_subcommand(true);
    skid.build();
    match &options.out {
        None => {
            let page = whole(&skid)?;
            output::either(json, || json!({"page": page}), || page.clone())?;
        }
        Some(directory) => {
            let files = pages(&skid, directory)?;
            let says = || format!("Written to {}: {} pages\n", directory.display(), files.len());
            output::either(json, || json!({"directory": directory, "files": files}), says)?;
        }
    }
    Ok(Ending::Done)
}

/// A command and all below it, each with its name in full: `week post`.
fn all(command: &Command, name: &str) -> Vec<(String, Command)> {
    let mut found = vec![(name.to_owned(), command.clone())];
    for below in command.get_subcommands().filter(|below| !below.is_hide_set()) {
        found.extend(all(below, format!("{name} {}", below.get_name()).trim()));
    }
    found
}

/// The page of one command.
fn page(name: &str, command: Command) -> anyhow::Result<String> {
    let title = ["skid", name].join(" ").trim().replace(' ', "-");
    let mut page = Vec::new();
    Man::new(command.display_name(title.clone()).name(title.clone())).title(title).render(&mut page)?;
    Ok(String::from_utf8(page)?)
}

fn pages(skid: &Command, directory: &Path) -> anyhow::Result<Vec<String>> {
    fs::create_dir_all(directory).with_context(|| format!("{} cannot be made", directory.display()))?;
    let mut files = Vec::new();
    for (name, command) in all(skid, "") {
        let file = format!("{}.1", ["skid", &name].join(" ").trim().replace(' ', "-"));
        let path = directory.join(&file);
        fs::write(&path, page(&name, command)?)
            .with_context(|| format!("{} cannot be written", path.display()))?;
        files.push(file);
    }
    Ok(files)
}

/// One page with all the commands as its sections.
pub(crate) fn whole(skid: &Command) -> anyhow::Result<String> {
    let mut text = Vec::new();
    let man = Man::new(skid.clone());
    man.render_title(&mut text)?;
    man.render_name_section(&mut text)?;
    man.render_synopsis_section(&mut text)?;
    man.render_description_section(&mut text)?;
    man.render_options_section(&mut text)?;
    for (name, command) in all(skid, "").into_iter().filter(|(name, _)| !name.is_empty()) {
        let heading = format!(".SH \"SKID {}\"\n", name.to_uppercase());
        text.extend(heading.as_bytes());
        let man = Man::new(command.name(format!("skid {name}")));
        let mut part = Vec::new();
        man.render_synopsis_section(&mut part)?;
        man.render_description_section(&mut part)?;
        man.render_options_section(&mut part)?;
        // Within a section, what would be sections of a page of its own are parts of it.
        text.extend(String::from_utf8(part)?.replace(".SH ", ".SS ").as_bytes());
    }
    man.render_extra_section(&mut text)?;
    Ok(String::from_utf8(text)?)
}
