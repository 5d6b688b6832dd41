//! How a description turns out.

/// How a description turned out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Something in the tables clashes with nothing described.
    Fits,
    /// Nothing fits, but something would if one mark were misread.
    Nears,
    /// Nothing in the tables is even near.
    None,
    /// The description says nothing that the tables cover.
    Outside,
}

/// Why a description lies outside the tables.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OutsideBecause {
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

/// How sure an answer is, by rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sure {
    /// One office and year.
    OneYear,
    /// One office and year, resting on a doubtful fact.
    OneYearDoubtful,
    /// Several office-years.
    Several,
    /// Nothing fits unless a mark was misread.
    Misreading,
}
