//! The window: panels over the document and its figures.
//!
//! Panels emit actions and never change the document themselves; figures on screen come from `derived`; what is
//! shown and picked lives in `session`.

pub mod areas;
pub mod card;
pub mod choosing;
pub mod derived;
pub mod format;
pub mod forms;
pub mod pictures;
pub mod row_keys;
pub mod session;
pub mod shell;
pub mod standing;
pub mod theme;
pub mod view;
pub mod why;
pub mod widgets;

use std::path::PathBuf;

/// Opens the window, with a project when a file is given.
///
/// # Errors
/// When the system gives no window to draw in.
pub fn open_window(file: Option<PathBuf>, tell: fn(&str)) -> anyhow::Result<()> {
    let folder = eframe::storage_dir("needline").filter(|folder| std::fs::create_dir_all(folder).is_ok());
    shell::fault::install(folder, tell);
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_title("Needline")
            .with_app_id("needline")
            .with_icon(icon())
            .with_inner_size([1440.0, 900.0])
            .with_min_inner_size([640.0, 360.0]),
        ..Default::default()
    };
    eframe::run_native(
        "needline",
        options,
        Box::new(move |cc| Ok(Box::new(shell::app::NeedlineApp::new(cc, file)))),
    )
    .map_err(|why| anyhow::anyhow!("no window could be opened: {}", without_window(&why)))
}

/// What stands for the window in the lists of the system; none where it cannot be read.
fn icon() -> egui::IconData {
    let read = image::load_from_memory(include_bytes!("../../assets/package/needline_128.png"));
    read.map_or_else(
        |_| egui::IconData::default(),
        |picture| {
            let (width, height) = (picture.width(), picture.height());
            egui::IconData { rgba: picture.into_rgba8().into_raw(), width, height }
        },
    )
}

/// Why there is no window and what to do; what the system said is for those who look for it.
fn without_window(why: &eframe::Error) -> &'static str {
    log::info!("{why}");
    match why {
        eframe::Error::WinitEventLoop(_) | eframe::Error::Winit(_) => {
            "there is no screen to open it on. Start it on a desktop; needline --help shows what works without a window"
        }
        eframe::Error::AppCreation(_) => "it could not be set up. RUST_LOG=info needline tells more",
        _ => {
            "what draws on the screen refused (OpenGL). Update the driver of the graphics card, or set LIBGL_ALWAYS_SOFTWARE=1; RUST_LOG=info needline tells more"
        }
    }
}
