//! The mirror between a record and its row.

/// A row type of the record type `D`.
pub(crate) trait Mirror<D>: Sized {
    /// The row of a record.
    fn row_of(record: &D) -> Self;
    /// The same, the record taken apart.
    fn row_from(record: D) -> Self {
        Self::row_of(&record)
    }
    /// The record of a row.
    fn into_record(self) -> D;
}

impl<D, R: Mirror<D>> Mirror<Option<D>> for Option<R> {
    fn row_of(record: &Option<D>) -> Self {
        record.as_ref().map(R::row_of)
    }
    fn row_from(record: Option<D>) -> Self {
        record.map(R::row_from)
    }
    fn into_record(self) -> Option<D> {
        self.map(R::into_record)
    }
}

impl<D, R: Mirror<D>> Mirror<Vec<D>> for Vec<R> {
    fn row_of(record: &Vec<D>) -> Self {
        record.iter().map(R::row_of).collect()
    }
    fn row_from(record: Vec<D>) -> Self {
        record.into_iter().map(R::row_from).collect()
    }
    fn into_record(self) -> Vec<D> {
        self.into_iter().map(R::into_record).collect()
    }
}

/// Types that are kept as they are.
macro_rules! as_is {
    ($($plain:ty),*) => {$(
        impl Mirror<$plain> for $plain {
            fn row_of(record: &$plain) -> Self {
                record.clone()
            }
            fn row_from(record: $plain) -> Self {
                record
            }
            fn into_record(self) -> $plain {
                self
            }
        }
    )*};
}

as_is!(String, u32, u64, bool);

/// A row type of a record with named fields, with both directions. The record
/// is taken apart without `..`: a field that is missing here does not compile.
macro_rules! mirror {
    ($(#[$doc:meta])* $row:ident of $record:ident { $($field:ident : $kind:ty),* $(,)? }) => {
        $(#[$doc])*
        #[derive(Debug, serde::Serialize, serde::Deserialize)]
        #[serde(deny_unknown_fields)]
        pub(crate) struct $row {
            $(pub(crate) $field: $kind),*
        }

        impl $crate::store::row::mirror::Mirror<$record> for $row {
            fn row_of(record: &$record) -> Self {
                let $record { $($field),* } = record;
                Self { $($field: $crate::store::row::mirror::Mirror::row_of($field)),* }
            }
            fn row_from(record: $record) -> Self {
                let $record { $($field),* } = record;
                Self { $($field: $crate::store::row::mirror::Mirror::row_from($field)),* }
            }
            fn into_record(self) -> $record {
                let Self { $($field),* } = self;
                $record { $($field: $crate::store::row::mirror::Mirror::into_record($field)),* }
            }
        }
    };
}

pub(crate) use mirror;
