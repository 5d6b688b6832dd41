//! The common form of an entry in the image.

macro_rules! view {
    ($(#[$doc:meta])* $name:ident, $part:ident, $cols:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug)]
        pub struct $name<'a> {
            pub(super) image: &'a $crate::packed::Image,
            /// Its number.
            pub i: usize,
        }
        #[allow(dead_code)]
        impl<'a> $name<'a> {
            pub(crate) const COLS: usize = $cols;
            #[inline]
            fn col(self, c: usize) -> u32 {
                self.image.u32($crate::packed::Part::$part, self.i * $cols + c)
            }
        }
    };
}

pub(super) use view;
