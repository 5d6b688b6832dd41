//! Values that are one of a few, each with the word that JSON prints for it.

use serde::{Serialize, Serializer};

use crate::engine::place::Place;

/// Prints places by their words.
pub(crate) fn places<S: Serializer>(of: &[Place], to: S) -> Result<S::Ok, S::Error> {
    to.collect_seq(of.iter().map(|p| &**p))
}

/// The twin of a value of the engine: its variants, printed by their names.
macro_rules! twin {
    (
        $(#[$doc:meta])*
        $name:ident of $value:path { $($(#[$of:meta])* $variant:ident,)* }
    ) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
        #[serde(rename_all = "kebab-case")]
        #[non_exhaustive]
        pub enum $name { $($(#[$of])* $variant,)* }

        impl From<$value> for $name {
            fn from(value: $value) -> $name {
                use $value as Value;
                match value { $(Value::$variant => $name::$variant,)* }
            }
        }

        impl From<$name> for $value {
            fn from(word: $name) -> $value {
                use $value as Value;
                match word { $($name::$variant => Value::$variant,)* }
            }
        }
    };
}

twin! {
    /// How a description turned out.
    Outcome of crate::engine::fit::outcome::Outcome {
        /// Something in the tables clashes with nothing described.
        Fits,
        /// Nothing fits, but something would if one mark were misread.
        Nears,
        /// Nothing in the tables is even near.
        None,
        /// The description says nothing that the tables cover.
        Outside,
    }
}

twin! {
    /// Why a description lies outside the tables.
    OutsideBecause of crate::engine::fit::outcome::OutsideBecause {
        /// No mark was recognised, or only initials, plain numbers or absences.
        NothingUnderstood,
        /// A mark was described that denies a hallmark.
        Denied,
        /// A fineness that no office of these islands struck.
        ForeignFineness,
        /// A town that struck no yearly letters.
        NoYearLetters,
        /// The office asked for was not open then.
        OfficeClosed,
    }
}

twin! {
    /// How sure an answer is, by rule.
    Sure of crate::engine::fit::outcome::Sure {
        /// One office and year.
        OneYear,
        /// One office and year, resting on a doubtful fact.
        OneYearDoubtful,
        /// Several office-years.
        Several,
        /// Nothing fits unless a mark was misread.
        Misreading,
    }
}

twin! {
    /// How a claim stands to the marks described.
    Ruling of crate::engine::claim::verdict::Ruling {
        /// All that fits the marks lies in the claim.
        Holds,
        /// Some of what fits lies in the claim, or half in it.
        Possible,
        /// Nothing that fits does.
        Fails,
        /// The marks described do not decide it.
        Undecided,
    }
}

twin! {
    /// Which rule decided; they are tried in this order.
    Because of crate::engine::claim::verdict::Because {
        /// The office was not open then, or the standard did not exist.
        NeverStruck,
        /// A mark that denies a hallmark was described.
        Denied,
        /// Nothing described bears on the claim.
        NothingBears,
        /// The description itself says that the marks do not vouch for the piece.
        MarksInDoubt,
        /// A letter was read, and of what fits in the claim the letter is not known.
        LetterNotKnown,
        /// Nothing fits, or only a metal that no mark shows; with one mark misread something in the claim
        /// would.
        OnlyMisread,
        /// Nothing fits, and nothing in the claim is near.
        NothingFits,
        /// All that fits lies in the claim.
        AllInside,
        /// Some of what fits does.
        SomeInside,
        /// What fits lies outside.
        NoneInside,
    }
}

twin! {
    /// How a maker claimed stands to the letters described.
    Attribution of crate::engine::claim::attributed::Attribution {
        /// The letters fit a mark of the maker, as they may fit another's.
        Possible,
        /// The letters are none of the maker's.
        Against,
        /// No letters of a maker are described.
        Untested,
        /// The register does not know the maker.
        Unknown,
    }
}

twin! {
    /// What the register is searched by.
    By of crate::engine::makers::asked::By {
        /// The letters of a mark.
        Letters,
        /// The name of a maker, or of a firm.
        Name,
    }
}

twin! {
    /// What a chart is of.
    Question of crate::engine::chart::Question {
        /// The years of one office: a row for each year, in order.
        Office,
        /// One year: a row for each office that struck a letter.
        Year,
        /// One letter: a row for each office and year that struck it, office by office.
        Letter,
    }
}
