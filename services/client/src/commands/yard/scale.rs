//! `skid scale`: scales sticks by a rule, one a line, with no service.
//!
//! The form of its lines is fixed; other programs build on it. Nothing is kept from one line to the next.

mod answer;

use std::io::{self, BufRead, Write};

use answer::Answer;
use clap::Args;

use crate::commands::ending::Ending;
use crate::commands::lines::Lines;

/// How to write the answers.
#[derive(Clone, Copy, Debug, Default, Args)]
pub(crate) struct ScaleOptions {
    /// With every step from the sizes to the net scale.
    #[arg(long)]
    pub(crate) working: bool,
    /// Write for people, with the working, instead of JSON.
    #[arg(long, conflicts_with = "json")]
    pub(crate) plain: bool,
}

/// Answers every line of `input` on `output`, flushing each.
///
/// When the reader of the output goes away, it ends quietly.
pub(crate) fn run(options: &ScaleOptions, input: impl BufRead, mut output: impl Write) -> io::Result<Ending> {
    let mut ending = Ending::Done;
    let mut lines = Lines::new(input);
    while let Some((number, line)) = lines.next()? {
        let answer = Answer::of(number, line);
        if answer.is_problem() {
            ending = Ending::SomeNotScaled;
        }
        let mut text = if options.plain { answer.plain() } else { answer.json(options.working)? };
        text.push('\n');
        match output.write_all(text.as_bytes()).and_then(|()| output.flush()) {
            Err(gone) if gone.kind() == io::ErrorKind::BrokenPipe => return Ok(ending),
            written => written?,
        }
    }
    Ok(ending)
}

#[cfg(test)]
mod tests {
    use std::io::Read;

    use super::*;

    struct Gone;

    impl Write for Gone {
        fn write(&mut self, _: &[u8]) -> io::Result<usize> {
            Err(io::ErrorKind::BrokenPipe.into())
        }

        fn flush(&mut self) -> io::Result<()> {
            Ok(())
        }
    }

    #[test]
    fn a_reader_that_goes_away_ends_it_quietly() {
        let endless = io::BufReader::new(io::repeat(b'\n').take(1).chain(io::repeat(b'{').take(10)));
        assert_eq!(run(&ScaleOptions::default(), endless, Gone).unwrap(), Ending::SomeNotScaled);
    }
}
