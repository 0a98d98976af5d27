//! From a document to its tree.

use super::{Node, Record, TreeError};
use serde::ser::{self, Serialize};

/// The tree of a value.
pub(super) fn tree(value: &(impl Serialize + ?Sized)) -> Result<Node, TreeError> {
    value.serialize(Writer)
}

impl ser::Error for TreeError {
    fn custom<T: std::fmt::Display>(what: T) -> TreeError {
        TreeError(what.to_string())
    }
}

/// Writes one value.
struct Writer;

/// Gathers the values of a list, or of a case that holds several.
struct Items {
    case: Option<&'static str>,
    tuple: bool,
    items: Vec<Node>,
}

/// Gathers fields, of a record or of a case.
struct Fields {
    case: Option<&'static str>,
    record: Record,
}

fn within(case: Option<&'static str>, node: Node) -> Node {
    match case {
        Some(name) => Node::Case(name, Box::new(node)),
        None => node,
    }
}

fn number<T>(value: T) -> Result<Node, TreeError>
where
    i64: TryFrom<T>,
{
    let wide = || TreeError("a number is too large".to_owned());
    i64::try_from(value).map(Node::Number).map_err(|_| wide())
}

fn no<T>(what: &str) -> Result<T, TreeError> {
    Err(TreeError(format!("a document holds no {what}")))
}

impl ser::Serializer for Writer {
    type Ok = Node;
    type Error = TreeError;
    type SerializeSeq = Items;
    type SerializeTuple = Items;
    type SerializeTupleStruct = Items;
    type SerializeTupleVariant = Items;
    type SerializeMap = ser::Impossible<Node, TreeError>;
    type SerializeStruct = Fields;
    type SerializeStructVariant = Fields;

    /// Numbers of things tell themselves apart here (`ids`).
    fn is_human_readable(&self) -> bool {
        false
    }

    fn serialize_bool(self, v: bool) -> Result<Node, TreeError> {
        Ok(Node::Flag(v))
    }

    fn serialize_i8(self, v: i8) -> Result<Node, TreeError> {
        number(v)
    }

    fn serialize_i16(self, v: i16) -> Result<Node, TreeError> {
        number(v)
    }

    fn serialize_i32(self, v: i32) -> Result<Node, TreeError> {
        number(v)
    }

    fn serialize_i64(self, v: i64) -> Result<Node, TreeError> {
        number(v)
    }

    fn serialize_u8(self, v: u8) -> Result<Node, TreeError> {
        number(v)
    }

    fn serialize_u16(self, v: u16) -> Result<Node, TreeError> {
        number(v)
    }

    fn serialize_u32(self, v: u32) -> Result<Node, TreeError> {
        number(v)
    }

    fn serialize_u64(self, v: u64) -> Result<Node, TreeError> {
        number(v)
    }

    fn serialize_f32(self, _: f32) -> Result<Node, TreeError> {
        no("binary fraction")
    }

    fn serialize_f64(self, _: f64) -> Result<Node, TreeError> {
        no("binary fraction")
    }

    fn serialize_char(self, v: char) -> Result<Node, TreeError> {
        Ok(Node::Text(v.to_string()))
    }

    fn serialize_str(self, v: &str) -> Result<Node, TreeError> {
        Ok(Node::Text(v.to_owned()))
    }

    fn serialize_bytes(self, _: &[u8]) -> Result<Node, TreeError> {
        no("bytes")
    }

    fn serialize_none(self) -> Result<Node, TreeError> {
        Ok(Node::Nothing)
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<Node, TreeError> {
        value.serialize(Writer)
    }

    fn serialize_unit(self) -> Result<Node, TreeError> {
        Ok(Node::Nothing)
    }

    fn serialize_unit_struct(self, _: &'static str) -> Result<Node, TreeError> {
        Ok(Node::Nothing)
    }

    fn serialize_unit_variant(self, _: &'static str, _: u32, case: &'static str) -> Result<Node, TreeError> {
        Ok(Node::Word(case))
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(
        self,
        name: &'static str,
        value: &T,
    ) -> Result<Node, TreeError> {
        match (name, value.serialize(Writer)?) {
            (crate::model::ids::NUMBER, Node::Number(id)) => {
                u32::try_from(id).map(Node::Id).map_err(ser::Error::custom)
            }
            (_, inner) => Ok(inner),
        }
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        case: &'static str,
        value: &T,
    ) -> Result<Node, TreeError> {
        Ok(Node::Case(case, Box::new(value.serialize(Writer)?)))
    }

    fn serialize_seq(self, _: Option<usize>) -> Result<Items, TreeError> {
        Ok(Items { case: None, tuple: false, items: Vec::new() })
    }

    fn serialize_tuple(self, _: usize) -> Result<Items, TreeError> {
        Ok(Items { case: None, tuple: true, items: Vec::new() })
    }

    fn serialize_tuple_struct(self, _: &'static str, _: usize) -> Result<Items, TreeError> {
        Ok(Items { case: None, tuple: true, items: Vec::new() })
    }

    fn serialize_tuple_variant(
        self,
        _: &'static str,
        _: u32,
        case: &'static str,
        _: usize,
    ) -> Result<Items, TreeError> {
        Ok(Items { case: Some(case), tuple: true, items: Vec::new() })
    }

    fn serialize_map(self, _: Option<usize>) -> Result<Self::SerializeMap, TreeError> {
        no("map")
    }

    fn serialize_struct(self, of: &'static str, size: usize) -> Result<Fields, TreeError> {
        Ok(Fields { case: None, record: Record { of, fields: Vec::with_capacity(size) } })
    }

    fn serialize_struct_variant(
        self,
        _: &'static str,
        _: u32,
        case: &'static str,
        size: usize,
    ) -> Result<Fields, TreeError> {
        Ok(Fields { case: Some(case), record: Record { of: case, fields: Vec::with_capacity(size) } })
    }
}

macro_rules! items {
    ($($kind:ident $put:ident),+) => {$(
        impl ser::$kind for Items {
            type Ok = Node;
            type Error = TreeError;

            fn $put<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), TreeError> {
                self.items.push(value.serialize(Writer)?);
                Ok(())
            }

            fn end(self) -> Result<Node, TreeError> {
                let node = if self.tuple { Node::Tuple(self.items) } else { Node::List(self.items) };
                Ok(within(self.case, node))
            }
        }
    )+};
}

items!(
    SerializeSeq serialize_element,
    SerializeTuple serialize_element,
    SerializeTupleStruct serialize_field,
    SerializeTupleVariant serialize_field
);

macro_rules! fields {
    ($($kind:ident),+) => {$(
        impl ser::$kind for Fields {
            type Ok = Node;
            type Error = TreeError;

            fn serialize_field<T: Serialize + ?Sized>(
                &mut self,
                name: &'static str,
                value: &T,
            ) -> Result<(), TreeError> {
                self.record.fields.push((name, value.serialize(Writer)?));
                Ok(())
            }

            fn end(self) -> Result<Node, TreeError> {
                Ok(within(self.case, Node::Record(self.record)))
            }
        }
    )+};
}

fields!(SerializeStruct, SerializeStructVariant);

/// As the project file writes it: the same text as of the document itself.
impl Serialize for Node {
    fn serialize<S: ser::Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        match self {
            Node::Nothing => s.serialize_none(),
            Node::Flag(v) => s.serialize_bool(*v),
            Node::Number(v) => s.serialize_i64(*v),
            Node::Id(v) => s.serialize_u32(*v),
            Node::Text(v) => s.serialize_str(v),
            Node::Word(case) => s.serialize_unit_variant("Case", 0, case),
            Node::Case(case, inner) => match inner.as_ref() {
                Node::Record(record) if record.of == *case => {
                    let mut out = s.serialize_struct_variant("Case", 0, case, record.fields.len())?;
                    for (name, node) in &record.fields {
                        ser::SerializeStructVariant::serialize_field(&mut out, name, node)?;
                    }
                    ser::SerializeStructVariant::end(out)
                }
                Node::Tuple(items) if items.len() > 1 => {
                    let mut out = s.serialize_tuple_variant("Case", 0, case, items.len())?;
                    for item in items {
                        ser::SerializeTupleVariant::serialize_field(&mut out, item)?;
                    }
                    ser::SerializeTupleVariant::end(out)
                }
                inner => s.serialize_newtype_variant("Case", 0, case, inner),
            },
            Node::List(items) => s.collect_seq(items),
            Node::Tuple(items) => {
                let mut out = s.serialize_tuple(items.len())?;
                items.iter().try_for_each(|item| ser::SerializeTuple::serialize_element(&mut out, item))?;
                ser::SerializeTuple::end(out)
            }
            Node::Record(record) => {
                let mut out = s.serialize_struct(record.of, record.fields.len())?;
                for (name, node) in &record.fields {
                    ser::SerializeStruct::serialize_field(&mut out, name, node)?;
                }
                ser::SerializeStruct::end(out)
            }
            Node::Unread(text) => match ron::value::RawValue::from_ron(text) {
                Ok(raw) => raw.serialize(s),
                Err(why) => Err(ser::Error::custom(why)),
            },
        }
    }
}
