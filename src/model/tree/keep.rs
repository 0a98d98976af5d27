//! Reading with fields that are not known: each is kept as the text that it is.
//!
//! A deserializer around another one. It knows the fields of each record, and gives only these to who reads it.

use serde::de::{self, DeserializeSeed, Deserializer, IntoDeserializer, Visitor};
use std::cell::RefCell;
use std::collections::HashSet;
use std::fmt;

/// Longest name of a field that is kept, in bytes.
const LONGEST_NAME: usize = 100;
/// Fields that are kept of one file.
const MOST: usize = 1_000_000;
/// Names of such fields: more than all that are known.
const MOST_NAMES: usize = 1_000;

/// A step from the document to a value in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum At {
    /// A field.
    Field(String),
    /// An item of a list.
    Item(usize),
}

/// A field that was not known: where its record is, its name and its text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unknown {
    /// From the document to the record.
    pub at: Vec<At>,
    /// The field.
    pub name: String,
    /// Its value, as the file has it.
    pub text: String,
}

/// What was found so far.
#[derive(Default)]
pub struct Kept {
    at: RefCell<Vec<At>>,
    found: RefCell<Vec<Unknown>>,
    names: RefCell<HashSet<String>>,
}

impl Kept {
    /// What was found.
    pub fn found(self) -> Vec<Unknown> {
        self.found.into_inner()
    }

    fn within<T>(&self, step: At, read: impl FnOnce() -> T) -> T {
        self.at.borrow_mut().push(step);
        let value = read();
        self.at.borrow_mut().pop();
        value
    }
}

/// A deserializer whose records may have more fields.
pub struct Keep<'s, D> {
    /// The one around which it is.
    pub inner: D,
    /// Where fields are kept.
    pub kept: &'s Kept,
}

macro_rules! scalars {
    ($($method:ident)*) => {$(
        fn $method<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, D::Error> {
            self.inner.$method(visitor)
        }
    )*};
}

macro_rules! wrapped {
    ($($method:ident($($name:ident: $kind:ty),*))*) => {$(
        fn $method<V: Visitor<'de>>(self, $($name: $kind,)* visitor: V) -> Result<V::Value, D::Error> {
            self.inner.$method($($name,)* Wrap { visitor, kept: self.kept, fields: None })
        }
    )*};
}

impl<'de, D: Deserializer<'de>> Deserializer<'de> for Keep<'_, D> {
    type Error = D::Error;

    fn is_human_readable(&self) -> bool {
        self.inner.is_human_readable()
    }

    scalars!(
        deserialize_bool deserialize_i8 deserialize_i16 deserialize_i32 deserialize_i64 deserialize_i128 deserialize_u8
        deserialize_u16 deserialize_u32 deserialize_u64 deserialize_u128 deserialize_f32 deserialize_f64 deserialize_char
        deserialize_str deserialize_string deserialize_bytes deserialize_byte_buf deserialize_unit deserialize_identifier
        deserialize_ignored_any
    );

    wrapped!(
        deserialize_any()
        deserialize_option()
        deserialize_seq()
        deserialize_map()
        deserialize_tuple(len: usize)
        deserialize_unit_struct(name: &'static str)
        deserialize_newtype_struct(name: &'static str)
        deserialize_tuple_struct(name: &'static str, len: usize)
        deserialize_enum(name: &'static str, variants: &'static [&'static str])
    );

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, D::Error> {
        let wrap = Wrap { visitor, kept: self.kept, fields: Some(fields) };
        self.inner.deserialize_struct(name, fields, wrap)
    }
}

/// A visitor that is given values to read on with.
struct Wrap<'s, V> {
    visitor: V,
    kept: &'s Kept,
    fields: Option<&'static [&'static str]>,
}

macro_rules! visits {
    ($($method:ident $kind:ty),* $(,)?) => {$(
        fn $method<E: de::Error>(self, value: $kind) -> Result<V::Value, E> {
            self.visitor.$method(value)
        }
    )*};
}

impl<'de, V: Visitor<'de>> Visitor<'de> for Wrap<'_, V> {
    type Value = V::Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.visitor.expecting(f)
    }

    visits!(
        visit_bool bool, visit_i8 i8, visit_i16 i16, visit_i32 i32, visit_i64 i64, visit_u8 u8, visit_u16 u16, visit_u32 u32,
        visit_u64 u64, visit_char char, visit_str &str, visit_borrowed_str &'de str, visit_string String, visit_bytes &[u8]
    );

    fn visit_none<E: de::Error>(self) -> Result<V::Value, E> {
        self.visitor.visit_none()
    }

    fn visit_unit<E: de::Error>(self) -> Result<V::Value, E> {
        self.visitor.visit_unit()
    }

    fn visit_some<D: Deserializer<'de>>(self, inner: D) -> Result<V::Value, D::Error> {
        self.visitor.visit_some(Keep { inner, kept: self.kept })
    }

    fn visit_newtype_struct<D: Deserializer<'de>>(self, inner: D) -> Result<V::Value, D::Error> {
        self.visitor.visit_newtype_struct(Keep { inner, kept: self.kept })
    }

    fn visit_seq<A: de::SeqAccess<'de>>(self, inner: A) -> Result<V::Value, A::Error> {
        self.visitor.visit_seq(Items { inner, kept: self.kept, at: 0 })
    }

    fn visit_map<A: de::MapAccess<'de>>(self, inner: A) -> Result<V::Value, A::Error> {
        self.visitor.visit_map(Fields { inner, kept: self.kept, fields: self.fields, name: String::new() })
    }

    fn visit_enum<A: de::EnumAccess<'de>>(self, inner: A) -> Result<V::Value, A::Error> {
        self.visitor.visit_enum(Cases { inner, kept: self.kept })
    }
}

/// What is read with the deserializer around its own.
struct Seed<'s, T> {
    seed: T,
    kept: &'s Kept,
}

impl<'de, T: DeserializeSeed<'de>> DeserializeSeed<'de> for Seed<'_, T> {
    type Value = T::Value;

    fn deserialize<D: Deserializer<'de>>(self, inner: D) -> Result<T::Value, D::Error> {
        self.seed.deserialize(Keep { inner, kept: self.kept })
    }
}

struct Items<'s, A> {
    inner: A,
    kept: &'s Kept,
    at: usize,
}

impl<'de, A: de::SeqAccess<'de>> de::SeqAccess<'de> for Items<'_, A> {
    type Error = A::Error;

    fn next_element_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<Option<T::Value>, A::Error> {
        let kept = self.kept;
        let found = kept.within(At::Item(self.at), || self.inner.next_element_seed(Seed { seed, kept }));
        self.at += 1;
        found
    }

    fn size_hint(&self) -> Option<usize> {
        self.inner.size_hint()
    }
}

/// The name of a field, whatever it is.
struct Name;

impl<'de> DeserializeSeed<'de> for Name {
    type Value = String;

    fn deserialize<D: Deserializer<'de>>(self, d: D) -> Result<String, D::Error> {
        d.deserialize_identifier(Name)
    }
}

impl Visitor<'_> for Name {
    type Value = String;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the name of a field")
    }

    fn visit_str<E: de::Error>(self, name: &str) -> Result<String, E> {
        Ok(name.to_owned())
    }
}

struct Fields<'s, A> {
    inner: A,
    kept: &'s Kept,
    fields: Option<&'static [&'static str]>,
    name: String,
}

impl<'de, A: de::MapAccess<'de>> de::MapAccess<'de> for Fields<'_, A> {
    type Error = A::Error;

    fn next_key_seed<K: DeserializeSeed<'de>>(&mut self, seed: K) -> Result<Option<K::Value>, A::Error> {
        loop {
            let Some(name) = self.inner.next_key_seed(Name)? else { return Ok(None) };
            if self.fields.is_none_or(|fields| fields.contains(&name.as_str())) {
                self.name.clone_from(&name);
                let name: de::value::StringDeserializer<A::Error> = name.into_deserializer();
                return seed.deserialize(name).map(Some);
            }
            let value: Box<ron::value::RawValue> = self.inner.next_value()?;
            let mut names = self.kept.names.borrow_mut();
            if !names.contains(&name) {
                names.insert(name.clone());
            }
            let more = names.len() > MOST_NAMES || self.kept.found.borrow().len() >= MOST;
            if more || name.len() > LONGEST_NAME {
                return Err(de::Error::custom("it has more fields of a later version than can be kept"));
            }
            let at = self.kept.at.borrow().clone();
            let text = value.get_ron().trim().to_owned();
            self.kept.found.borrow_mut().push(Unknown { at, name, text });
        }
    }

    fn next_value_seed<V: DeserializeSeed<'de>>(&mut self, seed: V) -> Result<V::Value, A::Error> {
        let kept = self.kept;
        let name = std::mem::take(&mut self.name);
        kept.within(At::Field(name), || self.inner.next_value_seed(Seed { seed, kept }))
    }
}

struct Cases<'s, A> {
    inner: A,
    kept: &'s Kept,
}

impl<'de, 's, A: de::EnumAccess<'de>> de::EnumAccess<'de> for Cases<'s, A> {
    type Error = A::Error;
    type Variant = Held<'s, A::Variant>;

    fn variant_seed<V: DeserializeSeed<'de>>(self, seed: V) -> Result<(V::Value, Self::Variant), A::Error> {
        let (value, inner) = self.inner.variant_seed(seed)?;
        Ok((value, Held { inner, kept: self.kept }))
    }
}

struct Held<'s, A> {
    inner: A,
    kept: &'s Kept,
}

impl<'de, A: de::VariantAccess<'de>> de::VariantAccess<'de> for Held<'_, A> {
    type Error = A::Error;

    fn unit_variant(self) -> Result<(), A::Error> {
        self.inner.unit_variant()
    }

    fn newtype_variant_seed<T: DeserializeSeed<'de>>(self, seed: T) -> Result<T::Value, A::Error> {
        self.inner.newtype_variant_seed(Seed { seed, kept: self.kept })
    }

    fn tuple_variant<V: Visitor<'de>>(self, len: usize, visitor: V) -> Result<V::Value, A::Error> {
        self.inner.tuple_variant(len, Wrap { visitor, kept: self.kept, fields: None })
    }

    fn struct_variant<V: Visitor<'de>>(
        self,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, A::Error> {
        self.inner.struct_variant(fields, Wrap { visitor, kept: self.kept, fields: Some(fields) })
    }
}
