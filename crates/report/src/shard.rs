//! What was gathered of a range of units, as a Parquet file.
//!
//! Its rows are the histograms, for any program that reads tables; its metadata holds what merges without
//! loss: the tally, the design and its name.

use bytes::Bytes;
use parquet::{
    data_type::{ByteArray, ByteArrayType, DoubleType, Int64Type},
    errors::ParquetError,
    file::{
        metadata::KeyValue,
        properties::WriterProperties,
        reader::{FileReader, SerializedFileReader},
        writer::{SerializedFileWriter, SerializedRowGroupWriter},
    },
    schema::parser::parse_message_type,
};
use reedmace_engine::{FigureRow, Tally};
use std::{io::Write, sync::Arc};

/// What the rows hold.
const SCHEMA: &str = "message spread {
    required binary figure (STRING);
    required binary unit (STRING);
    required double low;
    required double high;
    required int64 units;
}";
const TALLY: &str = "reedmace.tally";
const DESIGN: &str = "reedmace.design";
const NAME: &str = "reedmace.name";

/// A range of units of one design.
#[derive(Debug, Clone, PartialEq)]
pub struct Shard {
    /// What was gathered.
    pub tally: Tally,
    /// The design's text.
    pub design: String,
    /// What the design is called, usually its file name.
    pub name: String,
}

/// Why a file is no shard.
#[derive(Debug, thiserror::Error)]
pub enum ShardError {
    /// It is no Parquet file, or a damaged one.
    #[error("it is no Parquet file that can be read: {0}")]
    Parquet(#[from] ParquetError),
    /// It is a Parquet file of something else.
    #[error("it is a Parquet file, but holds no spread study")]
    NoStudy,
    /// It was made by a version whose tallies are other ones.
    #[error("its study cannot be read, perhaps by another version of Reedmace: {0}")]
    Tally(#[from] serde_json::Error),
}

impl Shard {
    /// The file, with a row for each bin of each figure.
    ///
    /// # Errors
    /// [`ShardError`] only for faults of ours.
    pub fn to_parquet(&self, rows: &[FigureRow]) -> Result<Vec<u8>, ShardError> {
        let tally = serde_json::to_string(&self.tally)?;
        let pairs = [(TALLY, tally), (DESIGN, self.design.clone()), (NAME, self.name.clone())];
        let pairs = pairs.map(|(key, value)| KeyValue::new(key.to_owned(), value)).to_vec();
        let properties = WriterProperties::builder().set_key_value_metadata(Some(pairs)).build();
        let schema = Arc::new(parse_message_type(SCHEMA)?);
        let mut file = SerializedFileWriter::new(Vec::new(), schema, Arc::new(properties))?;
        let mut group = file.next_row_group()?;
        let text = |of: fn(&FigureRow) -> &String| -> Vec<ByteArray> {
            rows.iter().map(|row| of(row).as_bytes().to_vec().into()).collect()
        };
        let number = |of: fn(&FigureRow) -> f64| -> Vec<f64> { rows.iter().map(of).collect() };
        put::<ByteArrayType, _>(&mut group, &text(|r| &r.figure))?;
        put::<ByteArrayType, _>(&mut group, &text(|r| &r.unit))?;
        put::<DoubleType, _>(&mut group, &number(|r| r.low))?;
        put::<DoubleType, _>(&mut group, &number(|r| r.high))?;
        let units: Vec<i64> = rows.iter().map(|r| r.units.cast_signed()).collect();
        put::<Int64Type, _>(&mut group, &units)?;
        group.close()?;
        Ok(file.into_inner()?)
    }

    /// Reads a file.
    ///
    /// # Errors
    /// [`ShardError`] when it is none of ours.
    pub fn from_parquet(bytes: Vec<u8>) -> Result<Self, ShardError> {
        let file = SerializedFileReader::new(Bytes::from(bytes))?;
        let pairs = file.metadata().file_metadata().key_value_metadata();
        let value = |key: &str| {
            let pair = pairs.into_iter().flatten().find(|pair| pair.key == key);
            pair.and_then(|pair| pair.value.clone()).ok_or(ShardError::NoStudy)
        };
        let tally = serde_json::from_str(&value(TALLY)?)?;
        Ok(Self { tally, design: value(DESIGN)?, name: value(NAME)? })
    }
}

/// The next column of a group.
fn put<T: parquet::data_type::DataType, W: Write + Send>(
    group: &mut SerializedRowGroupWriter<'_, W>,
    values: &[T::T],
) -> Result<(), ParquetError> {
    let Some(mut column) = group.next_column()? else {
        return Err(ParquetError::General("more columns than the schema has".into()));
    };
    column.typed::<T>().write_batch(values, None, None)?;
    column.close()
}
