//! From a tree back to the document.

use super::{Node, Record, TreeError};
use serde::de::value::StrDeserializer;
use serde::de::{self, DeserializeOwned, DeserializeSeed, IntoDeserializer, Visitor};

/// The value of a tree.
pub(super) fn document<T: DeserializeOwned>(tree: &Node) -> Result<T, TreeError> {
    T::deserialize(Reader(tree))
}

impl de::Error for TreeError {
    fn custom<T: std::fmt::Display>(what: T) -> TreeError {
        TreeError(what.to_string())
    }
}

/// Reads one value.
struct Reader<'a>(&'a Node);

impl<'de> de::Deserializer<'de> for Reader<'_> {
    type Error = TreeError;

    fn is_human_readable(&self) -> bool {
        false
    }

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, TreeError> {
        match self.0 {
            Node::Nothing => visitor.visit_unit(),
            Node::Flag(v) => visitor.visit_bool(*v),
            Node::Number(v) => visitor.visit_i64(*v),
            Node::Id(v) => visitor.visit_u32(*v),
            Node::Text(v) => visitor.visit_str(v),
            Node::Word(word) => visitor.visit_str(word),
            Node::List(items) | Node::Tuple(items) => visitor.visit_seq(Items(items.iter())),
            Node::Record(record) => visitor.visit_map(Fields { left: record.fields.iter(), value: None }),
            Node::Case(case, _) => Err(de::Error::custom(format!("{case} does not stand here"))),
            Node::Unread(_) => Err(de::Error::custom("this is of a later version")),
        }
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, TreeError> {
        match self.0 {
            Node::Nothing => visitor.visit_none(),
            _ => visitor.visit_some(self),
        }
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        visitor: V,
    ) -> Result<V::Value, TreeError> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, TreeError> {
        match self.0 {
            Node::Word(case) => visitor.visit_enum(Case { case, inner: None }),
            Node::Case(case, inner) => visitor.visit_enum(Case { case, inner: Some(inner) }),
            _ => Err(de::Error::custom("one word of several stands here")),
        }
    }

    serde::forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf unit unit_struct seq tuple
        tuple_struct map struct identifier ignored_any
    }
}

struct Items<'a>(std::slice::Iter<'a, Node>);

impl<'de> de::SeqAccess<'de> for Items<'_> {
    type Error = TreeError;

    fn next_element_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<Option<T::Value>, TreeError> {
        self.0.next().map(|node| seed.deserialize(Reader(node))).transpose()
    }
}

struct Fields<'a> {
    left: std::slice::Iter<'a, (&'static str, Node)>,
    value: Option<&'a Node>,
}

impl<'de> de::MapAccess<'de> for Fields<'_> {
    type Error = TreeError;

    fn next_key_seed<K: DeserializeSeed<'de>>(&mut self, seed: K) -> Result<Option<K::Value>, TreeError> {
        let Some((name, node)) = self.left.next() else { return Ok(None) };
        self.value = Some(node);
        let name: StrDeserializer<'_, TreeError> = name.into_deserializer();
        seed.deserialize(name).map(Some)
    }

    fn next_value_seed<V: DeserializeSeed<'de>>(&mut self, seed: V) -> Result<V::Value, TreeError> {
        seed.deserialize(Reader(self.value.take().unwrap_or(&Node::Nothing)))
    }
}

/// A case of several with what it holds.
struct Case<'a> {
    case: &'static str,
    inner: Option<&'a Node>,
}

impl<'de, 'a> de::EnumAccess<'de> for Case<'a> {
    type Error = TreeError;
    type Variant = Held<'a>;

    fn variant_seed<V: DeserializeSeed<'de>>(self, seed: V) -> Result<(V::Value, Held<'a>), TreeError> {
        let case: StrDeserializer<'_, TreeError> = self.case.into_deserializer();
        Ok((seed.deserialize(case)?, Held(self.inner)))
    }
}

struct Held<'a>(Option<&'a Node>);

impl<'de> de::VariantAccess<'de> for Held<'_> {
    type Error = TreeError;

    fn unit_variant(self) -> Result<(), TreeError> {
        match self.0 {
            None => Ok(()),
            Some(_) => Err(de::Error::custom("this word stands alone")),
        }
    }

    fn newtype_variant_seed<T: DeserializeSeed<'de>>(self, seed: T) -> Result<T::Value, TreeError> {
        seed.deserialize(Reader(self.0.unwrap_or(&Node::Nothing)))
    }

    fn tuple_variant<V: Visitor<'de>>(self, _: usize, visitor: V) -> Result<V::Value, TreeError> {
        match self.0 {
            Some(Node::Tuple(items)) => visitor.visit_seq(Items(items.iter())),
            _ => Err(de::Error::custom("several values stand here")),
        }
    }

    fn struct_variant<V: Visitor<'de>>(
        self,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, TreeError> {
        match self.0 {
            Some(Node::Record(Record { fields, .. })) => {
                visitor.visit_map(Fields { left: fields.iter(), value: None })
            }
            _ => Err(de::Error::custom("fields stand here")),
        }
    }
}
