//! Lists that go by numbers: those of the tables, or places in another list.

/// A value for each number. One past the end has the value that stands for nothing.
#[derive(Clone, Debug, Default)]
pub struct ByNumber<T>(Vec<T>);

impl<T: Copy + Default> ByNumber<T> {
    /// The same value for each of so many numbers.
    pub fn all(value: T, numbers: usize) -> ByNumber<T> {
        ByNumber(vec![value; numbers])
    }

    /// The value of a number.
    #[inline]
    pub fn get(&self, number: usize) -> T {
        self.0.get(number).copied().unwrap_or_default()
    }

    /// Changes the value of a number, if there is such a number.
    #[inline]
    pub fn change(&mut self, number: usize, change: impl FnOnce(&mut T)) {
        if let Some(value) = self.0.get_mut(number) {
            change(value);
        }
    }

    /// Gives a number another value.
    #[inline]
    pub fn set(&mut self, number: usize, value: T) {
        self.change(number, |v| *v = value);
    }
}

impl<T> FromIterator<T> for ByNumber<T> {
    fn from_iter<I: IntoIterator<Item = T>>(values: I) -> ByNumber<T> {
        ByNumber(values.into_iter().collect())
    }
}

/// The places in a list of what passes a test.
pub fn places<T>(list: &[T], passes: impl Fn(&T) -> bool) -> Vec<usize> {
    list.iter().enumerate().filter(|(_, of)| passes(of)).map(|(place, _)| place).collect()
}
