//! The notation of a cycle's `letters`.

/// What one place of a cycle says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Place {
    /// `_`: not known.
    Unknown,
    /// `=`: the letter before carried on.
    Carried,
    /// One or more letters, all struck that year.
    Struck(Vec<Struck>),
}

/// One letter as struck.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Struck {
    /// As it is shown: `f`, `K`, `A7`, `{crown}`.
    pub shown: String,
    /// For comparison: upper case, or in braces.
    pub value: String,
    /// `A/a`: the case varies.
    pub varies: bool,
}

/// Reads one place.
///
/// # Errors
/// A sentence that says what is wrong with it.
pub fn place(token: &str) -> Result<Place, String> {
    match token {
        "_" => Ok(Place::Unknown),
        "=" => Ok(Place::Carried),
        _ => token.split('+').map(struck).collect::<Result<_, _>>().map(Place::Struck),
    }
}

fn struck(s: &str) -> Result<Struck, String> {
    let bad = || Err(format!("\"{s}\" is not a letter; write A, a, A/a, A7, {{crown}}, _ or ="));
    if let Some((a, b)) = s.split_once('/') {
        let (one, two) = (struck(a)?, struck(b)?);
        if one.value != two.value {
            return Err(format!("\"{s}\" names two letters; two in one year are written {a}+{b}"));
        }
        return Ok(Struck { varies: true, ..one });
    }
    if s.starts_with('{') {
        return if s.len() > 2 && s.ends_with('}') {
            Ok(Struck { shown: s.into(), value: s.into(), varies: false })
        } else {
            bad()
        };
    }
    if s.is_empty()
        || s.len() > 3
        || !s.chars().all(|c| c.is_ascii_alphanumeric() || c == 'Æ' || c == '&')
    {
        return bad();
    }
    Ok(Struck { shown: s.into(), value: s.to_ascii_uppercase(), varies: false })
}

/// The letter that an alphabet may leave to this one: J to I, V to U and back.
pub fn sister(value: &str) -> Option<&'static str> {
    match value {
        "I" => Some("J"),
        "J" => Some("I"),
        "U" => Some("V"),
        "V" => Some("U"),
        _ => None,
    }
}
