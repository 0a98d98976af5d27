//! Pictures that stand beside a project file, read upright and made small.

use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, ImageDecoder, ImageError, ImageReader, Limits};
use std::fs::File;
use std::io::BufReader;
use std::path::Path;
use std::sync::{Arc, Mutex, PoisonError};

/// Bytes a picture may take while it is read; a photograph of 100 million dots takes 300 million.
const MOST_BYTES: u64 = 512 * 1024 * 1024;
/// Held while a picture is read, so that a card full of large ones takes the memory of one.
static ONE_AT_A_TIME: Mutex<()> = Mutex::new(());
/// Dots of the longer side of a picture on paper: some 300 an inch where it stands in a table.
const SIDE_ON_PAPER: u32 = 400;
const QUALITY: u8 = 85;

/// Opens a PNG or JPEG file. What its header says is weighed before anything is set aside for it: a file of 74 bytes
/// can claim to be larger than any memory.
///
/// # Errors
/// Why it cannot be read, in words.
pub fn open(path: &Path) -> Result<impl ImageDecoder, String> {
    let wrong = |why: ImageError| match why {
        ImageError::Limits(_) => {
            "is too large to be shown; make it smaller in a program for pictures".to_owned()
        }
        why => format!("cannot be read as a picture: {why}"),
    };
    let reader = File::open(path).map(|file| ImageReader::new(BufReader::new(file)));
    let mut reader =
        reader.and_then(ImageReader::with_guessed_format).map_err(|why| format!("cannot be read: {why}"))?;
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_BYTES);
    reader.limits(limits.clone());
    let decoder = reader.into_decoder().map_err(wrong)?;
    limits.reserve(decoder.total_bytes()).map_err(wrong)?;
    Ok(decoder)
}

/// Reads a PNG or JPEG file, upright and no longer than `side` dots.
///
/// # Errors
/// Why not, in words.
pub fn read(path: &Path, side: u32) -> Result<DynamicImage, String> {
    if !path.is_file() {
        return Err("not found".to_owned());
    }
    let wrong = |why: ImageError| format!("cannot be read: {why}");
    let mut decoder = open(path)?;
    let _one = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
    let turned = decoder.orientation().map_err(wrong)?;
    let mut picture = DynamicImage::from_decoder(decoder).map_err(wrong)?;
    if picture.width().max(picture.height()) > side {
        picture = picture.thumbnail(side, side);
    }
    // Cameras store pictures as they lay on the chip, with a note which way is up.
    picture.apply_orientation(turned);
    Ok(picture)
}

/// A small picture for paper, as JPEG.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// The bytes of a JPEG file.
    pub jpeg: Arc<[u8]>,
    /// Dots across.
    pub width: u32,
    /// Dots from top to bottom.
    pub height: u32,
}

impl Picture {
    /// Reads a picture for paper. What is clear in it becomes white.
    ///
    /// # Errors
    /// Why not, in words.
    pub fn for_paper(path: &Path) -> Result<Picture, String> {
        let picture = read(path, SIDE_ON_PAPER)?.to_rgba8();
        let (width, height) = picture.dimensions();
        let on_white = |p: &image::Rgba<u8>| {
            let [r, g, b, a] = p.0.map(u32::from);
            image::Rgb([r, g, b].map(|c| ((c * a + 255 * (255 - a) + 127) / 255) as u8))
        };
        let flat = image::RgbImage::from_fn(width, height, |x, y| on_white(picture.get_pixel(x, y)));
        let mut jpeg = Vec::new();
        JpegEncoder::new_with_quality(&mut jpeg, QUALITY)
            .encode_image(&flat)
            .map_err(|why| format!("cannot be made small: {why}"))?;
        Ok(Picture { jpeg: jpeg.into(), width, height })
    }
}
