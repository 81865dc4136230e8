//! `explain`: the physics, the source and the limits behind a finding.

use crate::out::{self, Out};
use crate::{End, Trouble};
use loomdeck_model::Page;
use loomdeck_model::read::problem::nearest;

/// Tell the physics, the source and the limits behind a finding. Without a slug, list them all.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  loomdeck explain\n  loomdeck explain fuse-larger-than-wire-allows")]
pub struct Args {
    /// The slug, as `check` prints it.
    slug: Option<String>,
    /// Print all pages as Markdown.
    #[arg(long, conflicts_with = "slug")]
    all: bool,
}

/// Runs it.
pub fn run(args: &Args, out: &mut Out) -> Result<End, Trouble> {
    let pages = loomdeck_study::pages();
    if args.all {
        return markdown(&pages, out);
    }
    let Some(slug) = &args.slug else {
        for p in &pages {
            out.line(&format!("  {:<36} {}", p.slug, p.title));
        }
        return Ok(End::Clean);
    };
    let Some(page) = pages.iter().find(|p| p.slug == slug) else {
        let near = match nearest(slug, pages.iter().map(|p| p.slug)) {
            Some(near) => format!("Did you mean `{near}`?"),
            None => "`loomdeck explain` lists them all.".to_owned(),
        };
        return Err(Trouble::Told(format!("No finding is called `{slug}`. {near}")));
    };
    out.line(&format!("{}  {}", out::strong(page.slug), out::severity(page.severity)));
    out.paragraph(0, page.title);
    for (head, text) in [
        ("What is computed, and why", page.physics),
        ("Source", page.source),
        ("Where the model ends", page.limits),
    ] {
        out.line(&format!("\n{}", out::strong(head)));
        for paragraph in text.split("\n\n") {
            out.paragraph(2, &paragraph.split_whitespace().collect::<Vec<_>>().join(" "));
        }
    }
    Ok(End::Clean)
}

fn markdown(pages: &[&Page], out: &mut Out) -> Result<End, Trouble> {
    out.line("# Findings\n\nEvery finding Loomdeck can make, with the physics behind it. Written by `cargo xtask findings`\nfrom the pages in the code; do not edit by hand.\n");
    for p in pages {
        out.line(&format!("## `{}`\n\n*{}* (up to {})\n", p.slug, p.title, p.severity.word()));
        for paragraph in p.physics.split("\n\n") {
            out.line(&format!("{}\n", paragraph.split_whitespace().collect::<Vec<_>>().join(" ")));
        }
        let flat = |t: &str| t.split_whitespace().collect::<Vec<_>>().join(" ");
        out.line(&format!(
            "**Source:** {}\n\n**Where the model ends:** {}\n",
            flat(p.source),
            flat(p.limits)
        ));
    }
    Ok(End::Clean)
}
