//! The look: fonts, style and tokens, applied once to a context.

pub mod tokens;

use egui::{Context, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, Stroke, TextStyle, Theme};
use std::sync::Arc;
pub use tokens::Tokens;
use tokens::{space, type_size};

/// Name of the family of the heavier weight.
const STRONG: &str = "strong";
/// Name of the family of icons.
const ICONS: &str = "icons";

/// The tokens of the theme in use.
pub fn tokens(ctx: &Context) -> &'static Tokens {
    match ctx.theme() {
        Theme::Dark => &tokens::DARK,
        Theme::Light => &tokens::LIGHT,
    }
}

/// The heavier weight in a size.
pub fn strong(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name(STRONG.into()))
}

/// The running weight in a size.
pub fn regular(size: f32) -> FontId {
    FontId::new(size, FontFamily::Proportional)
}

/// Icons in a size.
pub fn icon_font(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name(ICONS.into()))
}

/// Puts fonts and styles into a context.
pub fn apply(ctx: &Context) {
    ctx.set_fonts(fonts());
    // Where the system does not say which it wants.
    ctx.options_mut(|o| o.fallback_theme = Theme::Light);
    for (theme, t) in [(Theme::Light, &tokens::LIGHT), (Theme::Dark, &tokens::DARK)] {
        ctx.style_mut_of(theme, |style| {
            style.text_styles = [
                (TextStyle::Small, regular(type_size::SMALL)),
                (TextStyle::Body, regular(type_size::BODY)),
                (TextStyle::Button, regular(type_size::BODY)),
                (TextStyle::Monospace, FontId::monospace(type_size::BODY)),
                (TextStyle::Heading, strong(type_size::HEADING)),
            ]
            .into();
            style.spacing.item_spacing = egui::vec2(space::M, space::S + 2.0);
            style.spacing.button_padding = egui::vec2(10.0, 4.0);
            style.spacing.interact_size.y = 26.0;
            style.spacing.scroll = egui::style::ScrollStyle::thin();
            style.interaction.tooltip_delay = 0.35;
            let v = &mut style.visuals;
            v.panel_fill = t.work;
            v.window_fill = t.card;
            v.extreme_bg_color = t.card;
            v.faint_bg_color = t.hovered;
            v.override_text_color = Some(t.text);
            v.hyperlink_color = t.accent;
            v.error_fg_color = t.late;
            v.weak_text_color = Some(t.muted);
            v.selection.bg_fill = t.picked;
            v.selection.stroke = Stroke::new(1.0, t.accent);
            v.window_stroke = Stroke::new(1.0, t.line);
            v.window_corner_radius = CornerRadius::same(8);
            v.menu_corner_radius = CornerRadius::same(6);
            v.widgets.noninteractive.bg_stroke = Stroke::new(1.0, t.line);
            for w in [
                &mut v.widgets.noninteractive,
                &mut v.widgets.inactive,
                &mut v.widgets.hovered,
                &mut v.widgets.active,
                &mut v.widgets.open,
            ] {
                w.corner_radius = CornerRadius::same(5);
                w.fg_stroke.color = t.text;
                w.expansion = 0.0;
            }
            v.widgets.inactive.weak_bg_fill = t.hovered;
            v.widgets.inactive.bg_fill = t.hovered;
            v.widgets.inactive.bg_stroke = Stroke::new(1.0, t.edge);
            v.widgets.hovered.weak_bg_fill = t.picked;
            v.widgets.hovered.bg_fill = t.picked;
            v.widgets.hovered.bg_stroke = Stroke::new(1.0, t.accent);
            v.widgets.active.weak_bg_fill = t.picked;
            v.widgets.active.bg_fill = t.picked;
            v.widgets.active.bg_stroke = Stroke::new(1.5, t.accent);
            v.widgets.open.weak_bg_fill = t.picked;
            v.widgets.open.bg_fill = t.picked;
        });
    }
}

fn fonts() -> FontDefinitions {
    let mut fonts = FontDefinitions::default();
    let mut add = |name: &str, data: &'static [u8]| {
        fonts.font_data.insert(name.to_owned(), Arc::new(FontData::from_static(data)));
    };
    add("plex", include_bytes!("../../../assets/fonts/IBMPlexSans-Regular.ttf"));
    add("plex_strong", include_bytes!("../../../assets/fonts/IBMPlexSans-SemiBold.ttf"));
    add("lucide", lucide_icons::LUCIDE_FONT_BYTES);
    let fallback = fonts.families.get(&FontFamily::Proportional).cloned().unwrap_or_default();
    let family = |first: &str| {
        let mut list = vec![first.to_owned()];
        list.extend(fallback.iter().cloned());
        list.push("lucide".to_owned());
        list
    };
    fonts.families.insert(FontFamily::Proportional, family("plex"));
    fonts.families.insert(FontFamily::Name(STRONG.into()), family("plex_strong"));
    fonts.families.insert(FontFamily::Name(ICONS.into()), vec!["lucide".to_owned()]);
    fonts
}
