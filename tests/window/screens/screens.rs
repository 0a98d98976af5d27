//! Draws every work area and the listed forms over the sample, light and dark, large, in the smallest window and on a small
//! screen on which all is drawn larger, and writes them as pictures into `assets/screens`; all other forms beside each other, small. Needs a GPU or a software renderer.

#[path = "../tests/support/mod.rs"]
mod support;

use egui::{Theme, vec2};
use image::imageops::FilterType;
use image::{DynamicImage, RgbImage};
use needline::ui::shell::app::NeedlineApp;
use std::collections::HashMap;
use std::error::Error;
use std::fs::File;
use std::io::BufWriter;
use std::path::{Path, PathBuf};
use support::every::{self, Show};
use support::samples;
use support::scenes::{self, FORMS, Opened};

/// Dots across and down, how many of them a point takes, and what the name of the file adds.
const SIZES: [(f32, f32, f32, &str); 3] =
    [(1600.0, 1000.0, 1.0, ""), (1024.0, 700.0, 1.0, ""), (1280.0, 800.0, 1.5, "_at_150")];

fn main() -> Result<(), Box<dyn Error>> {
    let wanted: Vec<String> = std::env::args().skip(1).collect();
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let folder = root.join("assets/screens");
    std::fs::create_dir_all(&folder)?;
    type Show = Box<dyn Fn(&mut Opened)>;
    let areas = scenes::areas()
        .map(|(name, area)| (name, Box::new(move |h: &mut Opened| scenes::show(h, area)) as Show));
    let forms = FORMS.into_iter().map(|(name, show)| (name.to_owned(), Box::new(show) as Show));
    for (name, show) in areas.chain(forms) {
        for (theme, word) in [(Theme::Light, "light"), (Theme::Dark, "dark")] {
            for (width, height, scale, more) in SIZES {
                let stem = format!("{name}_{word}_{width}x{height}{more}");
                if !wanted.is_empty() && !wanted.iter().any(|wanted| stem.contains(wanted)) {
                    continue;
                }
                let mut harness = sized(theme, (width, height, scale), &show);
                let path = folder.join(format!("{stem}.png"));
                write(&path, &mut harness)?;
                println!("{}", path.display());
            }
        }
    }
    for (theme, word) in [(Theme::Light, "light"), (Theme::Dark, "dark")] {
        for (width, height, scale, more) in SIZES {
            let stem = format!("forms_{word}_{width}x{height}{more}");
            if wanted.is_empty() || wanted.iter().any(|wanted| stem.contains(wanted)) {
                sheets(&folder, &stem, theme, (width, height, scale))?;
            }
        }
    }
    Ok(())
}

/// Columns and rows of a sheet.
const SHEET: (u32, u32) = (4, 3);

/// Every form and every question, small and beside each other, in the order of `tests/support/every.rs`.
fn sheets(folder: &Path, stem: &str, theme: Theme, size: (f32, f32, f32)) -> Result<(), Box<dyn Error>> {
    let (width, height, scale) = size;
    let project = open(1600.0, 1000.0, theme).state().project().ok_or("the sample is open")?.clone();
    let all = every::scenes(&project);
    let forms: Vec<_> = all.iter().filter(|(_, show)| matches!(show, Show::Asked(_))).collect();
    let (cell_width, cell_height) = (width as u32 / 2, height as u32 / 2);
    for (n, some) in forms.chunks((SHEET.0 * SHEET.1) as usize).enumerate() {
        let mut sheet = RgbImage::new(cell_width * SHEET.0, cell_height * SHEET.1);
        for (at, (_, show)) in (0..).zip(some) {
            let mut harness = sized(theme, size, &|harness| every::show(harness, show));
            let picture = DynamicImage::ImageRgba8(harness.render()?);
            let small = picture.resize_exact(cell_width, cell_height, FilterType::Triangle).into_rgb8();
            let place = (at % SHEET.0 * cell_width, at / SHEET.0 * cell_height);
            image::imageops::overlay(&mut sheet, &small, place.0.into(), place.1.into());
        }
        let path = folder.join(format!("{stem}_{}.png", n + 1));
        write_picture(&path, &sheet)?;
        println!("{}", path.display());
    }
    Ok(())
}

/// What is shown, in a window of so many dots and dots a point.
fn sized(theme: Theme, (width, height, scale): (f32, f32, f32), show: &dyn Fn(&mut Opened)) -> Opened {
    // What is opened from the list of rooms is opened while there is room for it.
    let large = scale > 1.0;
    let mut harness = if large { open(1600.0, 1000.0, theme) } else { open(width, height, theme) };
    show(&mut harness);
    if large {
        harness.set_pixels_per_point(scale);
        harness.step();
        harness.set_size(vec2(width / scale, height / scale));
        harness.run();
    }
    harness
}

/// The sample in a window, on the day the sample pins.
fn open(width: f32, height: f32, theme: Theme) -> Opened {
    let file: PathBuf = samples().join("orchard_house.ron");
    let mut harness = support::window(width, height)
        .with_theme(theme)
        .with_pixels_per_point(1.0)
        .with_render_cursor(false)
        .wgpu()
        .build_eframe(|cc| NeedlineApp::new(cc, Some(file)));
    harness.run();
    harness
}

/// Writes it with a palette of its most frequent colors, which is a third of the bytes and looks the same.
fn write(path: &Path, harness: &mut Opened) -> Result<(), Box<dyn Error>> {
    write_picture(path, &DynamicImage::ImageRgba8(harness.render()?).into_rgb8())
}

fn write_picture(path: &Path, picture: &RgbImage) -> Result<(), Box<dyn Error>> {
    let (colors, dots) = with_palette(picture);
    let out = BufWriter::new(File::create(path)?);
    let mut encoder = png::Encoder::new(out, picture.width(), picture.height());
    encoder.set_color(png::ColorType::Indexed);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_palette(colors.concat());
    encoder.set_compression(png::Compression::High);
    encoder.write_header()?.write_image_data(&dots)?;
    Ok(())
}

fn apart(a: [u8; 3], b: [u8; 3]) -> u32 {
    a.iter().zip(b).map(|(a, b)| u32::from(a.abs_diff(b)).pow(2)).sum()
}

/// Up to 256 colors, the most frequent first and none too near to another, and the one nearest to each dot.
fn with_palette(picture: &RgbImage) -> (Vec<[u8; 3]>, Vec<u8>) {
    let mut counts: HashMap<[u8; 3], u32> = HashMap::new();
    for dot in picture.pixels() {
        *counts.entry(dot.0).or_default() += 1;
    }
    let mut by_count: Vec<([u8; 3], u32)> = counts.into_iter().collect();
    by_count.sort_by_key(|(color, count)| (std::cmp::Reverse(*count), *color));
    let mut colors: Vec<[u8; 3]> = Vec::with_capacity(256);
    for (color, _) in &by_count {
        if colors.len() < 256 && colors.iter().all(|known| apart(*known, *color) > 24) {
            colors.push(*color);
        }
    }
    let nearest = |color: [u8; 3]| {
        let found = colors.iter().enumerate().min_by_key(|(_, known)| apart(**known, color));
        found.map_or(0, |(at, _)| at as u8)
    };
    let places: HashMap<[u8; 3], u8> = by_count.iter().map(|(color, _)| (*color, nearest(*color))).collect();
    let dots = picture.pixels().map(|dot| places.get(&dot.0).copied().unwrap_or(0)).collect();
    (colors, dots)
}
