//! Puts the parts together: one app for the window and for pictures without one. The order of a frame stands here.

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::mpsc::Sender;
use std::time::{Duration, Instant};

use bevy::app::PluginsState;
use bevy::asset::AssetPlugin;
use bevy::camera::{ImageRenderTarget, RenderTarget};
use bevy::core_pipeline::tonemapping::{DebandDither, Tonemapping};
use bevy::log::LogPlugin;
use bevy::pbr::PbrPlugin;
use bevy::prelude::*;
use bevy::render::RenderPlugin;
use bevy::render::pipelined_rendering::PipelinedRenderingPlugin;
use bevy::render::render_resource::TextureFormat;
use bevy::render::settings::RenderCreation;
use bevy::render::view::screenshot::{Screenshot, ScreenshotCaptured};
use bevy::window::{ExitCondition, PresentMode, RequestRedraw, WindowPlugin, WindowResolution};
use bevy::winit::{UpdateMode, WinitPlugin, WinitSettings};
use bevy_egui::{
    EguiContext, EguiContexts, EguiGlobalSettings, EguiInput, EguiPlugin, EguiPreUpdateSet,
    EguiPrimaryContextPass, PrimaryEguiContext, egui,
};

use crate::desk::{Action, Changed, Desk, Pass, desk_ui, picture_ui};
use crate::easel::{self, Draw, Easel, Quality, Stage};
use crate::file_watch::{News, stamp, watch};
use crate::glass::{self, Bodies, GlassPlugin, Makers, Paint};
use crate::ink::InkPlugin;
use crate::keepsake;
use crate::probe::{Probe, probe};
use crate::ready::Driver;
use crate::recovery;
use crate::screen_reader;
use crate::shelf::{self, Shelf, ShelfChore};
use crate::theme;
use crate::window;

/// Where the result goes.
#[derive(Clone, Debug)]
pub(crate) enum Paper {
    /// A window of this size, pixels.
    Window {
        /// Pixels.
        size: UVec2,
    },
    /// An image of this size, with all panels or with the key alone.
    Image {
        /// Pixels.
        size: UVec2,
        /// All panels, as in the window.
        panels: bool,
        /// Title and key to the colours.
        key: bool,
        /// Drawn as a window draws: less while it moves.
        as_window: bool,
    },
}

/// Called each time the picture comes to rest.
pub(crate) type Told = Arc<dyn Fn(&Probe) + Send + Sync>;

/// What happens when the picture comes to rest.
#[derive(Resource, Clone, Default)]
pub(crate) struct Outlets {
    /// File for the probe.
    pub(crate) probe: Option<PathBuf>,
    /// Folder for pictures of the window.
    pub(crate) pictures: Option<PathBuf>,
    /// Called with the probe.
    pub(crate) told: Option<Told>,
}

/// Frames without anything new after which what is shown is complete.
const CALM: u8 = 3;

/// The desk as a resource.
#[derive(Resource)]
pub(crate) struct OnDesk(pub(crate) Desk);

/// News of the file.
#[derive(Resource)]
pub(crate) struct OnNews(pub(crate) News);

/// How other layouts are opened.
#[derive(Resource)]
pub(crate) struct OnShelf(pub(crate) Shelf);

/// The layout's file, where the window may write.
#[derive(Resource)]
pub(crate) struct OnDisk(pub(crate) PathBuf);

#[derive(Resource)]
struct OnPaper {
    paper: Paper,
    ui_camera: Entity,
    image: Option<Handle<Image>>,
}

/// Clocks of a session, and what has been told.
#[derive(Resource)]
struct Session {
    began: Instant,
    first_frame: Option<Duration>,
    drew_before: bool,
    moving: Moving,
    settled: u64,
    capturing: bool,
    held: bool,
    text: f32,
    /// The light the interface is dressed for.
    light: Option<theme::Light>,
    /// Frames since anything was asked or told; new letters reach the driver a frame after they are first laid out.
    calm: u8,
    /// Room the interface had when it was last laid out, pixels.
    laid_out: UVec2,
}

/// Frames while moving.
#[derive(Clone, Copy, Default, Debug)]
struct Moving {
    last: Option<Instant>,
    frames: u32,
    time: Duration,
}

impl Moving {
    /// Gaps longer than this are rests, not frames.
    const GAP: Duration = Duration::from_millis(400);

    fn frame(&mut self, now: Instant) {
        match self.last.map(|last| now.duration_since(last)) {
            Some(gap) if gap < Self::GAP => {
                self.frames += 1;
                self.time += gap;
            }
            _ => *self = Self::default(),
        }
        self.last = Some(now);
    }

    fn fps(&self) -> Option<f64> {
        (self.frames > 0).then(|| f64::from(self.frames) / self.time.as_secs_f64().max(1e-6))
    }
}

/// Builds the app; a window needs a display that answers, see `ready`.
pub(crate) fn build(
    desk: Desk,
    paper: Paper,
    driver: Driver,
    outlets: Outlets,
    began: Instant,
) -> App {
    let quality = match paper {
        Paper::Window { .. }
        | Paper::Image {
            as_window: true, ..
        } => Quality::window(driver.software, driver.longest),
        Paper::Image { .. } => Quality::picture(driver.longest),
    };
    let mut app = App::new();
    app.add_plugins(plugins(&paper, &desk, driver));
    app.add_plugins((EguiPlugin::default(), InkPlugin));
    app.world_mut()
        .resource_mut::<EguiGlobalSettings>()
        .auto_create_primary_context = false;
    app.add_plugins(GlassPlugin);
    app.insert_resource(WinitSettings {
        focused_mode: rest(),
        unfocused_mode: rest(),
    });
    app.insert_resource(OnDesk(desk)).insert_resource(outlets);
    app.insert_resource(Session {
        began,
        first_frame: None,
        drew_before: false,
        moving: Moving::default(),
        settled: 0,
        capturing: false,
        held: false,
        text: 0.0,
        light: None,
        calm: 0,
        laid_out: UVec2::ZERO,
    });
    app.add_message::<bevy::a11y::ActionRequest>();
    app.add_systems(
        PreUpdate,
        (quieten, screen_reader::hand_on)
            .after(EguiPreUpdateSet::ProcessInput)
            .before(EguiPreUpdateSet::BeginPass),
    );
    // A frame: news and flights, then what they changed is drawn, then the interface over it, then what to wait for.
    app.add_systems(
        Update,
        (clock, take_news, take_drops, fly, dress, draw).chain(),
    );
    app.add_systems(EguiPrimaryContextPass, interface);
    app.add_systems(
        Last,
        (keep, shelve, tell, wait, screen_reader::listen).chain(),
    );
    easel::set_up(app.world_mut(), quality);
    set_up(&mut app, paper);
    one_thread(&mut app);
    app
}

/// Runs systems one after another: they are many and small, and a processor that draws has better work for its threads.
fn one_thread(app: &mut App) {
    use bevy::ecs::schedule::{Schedules, SingleThreadedExecutor};
    for (_, schedule) in app.world_mut().resource_mut::<Schedules>().iter_mut() {
        schedule.set_executor(SingleThreadedExecutor::new());
    }
    if let Some(render) = app.get_sub_app_mut(bevy::render::RenderApp) {
        for (_, schedule) in render.world_mut().resource_mut::<Schedules>().iter_mut() {
            schedule.set_executor(SingleThreadedExecutor::new());
        }
    }
}

fn plugins(paper: &Paper, desk: &Desk, driver: Driver) -> bevy::app::PluginGroupBuilder {
    let group = DefaultPlugins
        .build()
        .disable::<LogPlugin>()
        .disable::<PipelinedRenderingPlugin>()
        .set(AssetPlugin {
            watch_for_changes_override: Some(false),
            ..AssetPlugin::default()
        })
        .set(RenderPlugin {
            render_creation: RenderCreation::Manual(driver.resources),
            synchronous_pipeline_compilation: true,
            ..RenderPlugin::default()
        })
        .set(PbrPlugin {
            prepass_enabled: false,
            add_default_deferred_lighting_plugin: false,
            use_gpu_instance_buffer_builder: false,
            ..PbrPlugin::default()
        });
    match paper {
        Paper::Window { size } => group.set(WindowPlugin {
            primary_window: Some(Window {
                title: title(desk),
                name: Some("fallwise".into()),
                resolution: WindowResolution::new(size.x, size.y),
                present_mode: PresentMode::AutoVsync,
                ..Window::default()
            }),
            ..WindowPlugin::default()
        }),
        Paper::Image { .. } => group.disable::<WinitPlugin>().set(WindowPlugin {
            primary_window: None,
            exit_condition: ExitCondition::DontExit,
            ..WindowPlugin::default()
        }),
    }
}

fn title(desk: &Desk) -> String {
    if desk.house.title.is_empty() {
        desk.file.clone()
    } else {
        format!("{} - {}", desk.house.title, desk.file)
    }
}

fn rest() -> UpdateMode {
    reactive(Duration::from_hours(1))
}

fn reactive(wait: Duration) -> UpdateMode {
    UpdateMode::Reactive {
        wait,
        react_to_device_events: false,
        react_to_user_events: true,
        react_to_window_events: true,
    }
}

fn set_up(app: &mut App, paper: Paper) {
    let image = match paper {
        Paper::Window { .. } => None,
        Paper::Image { size, .. } => {
            let image =
                Image::new_target_texture(size.x, size.y, TextureFormat::Rgba8UnormSrgb, None);
            Some(app.world_mut().resource_mut::<Assets<Image>>().add(image))
        }
    };
    let [r, g, b, _] = theme::PAPER.of(theme::Light::Day).linear(1.0);
    let camera = (
        Camera2d,
        Camera {
            clear_color: ClearColorConfig::Custom(Color::linear_rgb(r, g, b)),
            ..Camera::default()
        },
        Msaa::Off,
        Tonemapping::None,
        DebandDither::Disabled,
        EguiContext::default(),
        PrimaryEguiContext,
    );
    let world = app.world_mut();
    let ui_camera = world.spawn(camera).id();
    if let Some(image) = &image {
        let target = RenderTarget::Image(ImageRenderTarget {
            handle: image.clone(),
            scale_factor: 1.0,
        });
        world.entity_mut(ui_camera).insert(target);
    }
    world.insert_resource(OnPaper {
        paper,
        ui_camera,
        image,
    });
}

/// Drops the word that the modifier keys are as they were, which comes every frame and for which egui would ask for the
/// next one: a window at rest would never sleep.
fn quieten(mut inputs: Query<&mut EguiInput>, mut held: Local<egui::Modifiers>) {
    for mut input in &mut inputs {
        input.0.events.retain(|event| match event {
            egui::Event::ModifiersChanged(now) => std::mem::replace(&mut *held, *now) != *now,
            _ => true,
        });
    }
}

/// What the frame before this one took: drawing is done when the next frame begins.
fn clock(mut session: ResMut<Session>) {
    if session.drew_before && session.first_frame.is_none() {
        session.first_frame = Some(session.began.elapsed());
    }
}

fn take_news(
    news: Option<Res<OnNews>>,
    mut desk: ResMut<OnDesk>,
    mut session: ResMut<Session>,
    mut windows: Query<&mut Window>,
) {
    let Some(news) = news.and_then(|news| news.0.newest()) else {
        return;
    };
    desk.0.news(news);
    session.calm = 0;
    for mut window in &mut windows {
        window.title = title(&desk.0);
    }
}

/// A layout dropped on the window is opened; a picture is laid on the slab.
fn take_drops(
    mut drops: MessageReader<bevy::window::FileDragAndDrop>,
    mut desk: ResMut<OnDesk>,
    mut session: ResMut<Session>,
) {
    for drop in drops.read() {
        if let bevy::window::FileDragAndDrop::DroppedFile { path_buf, .. } = drop {
            if shelf::is_layout(path_buf) {
                desk.0.drop_layout(path_buf);
            } else {
                desk.0.lay_paper(path_buf);
            }
            session.calm = 0;
        }
    }
}

fn fly(time: Res<Time<Real>>, mut desk: ResMut<OnDesk>) {
    if desk.0.flight.is_some() {
        // After a rest the first step would swallow the flight.
        desk.0.fly(time.delta_secs().min(0.08));
    }
}

fn dress(
    mut desk: ResMut<OnDesk>,
    mut bodies: ResMut<Bodies>,
    mut commands: Commands,
    mut meshes: ResMut<Assets<Mesh>>,
    mut paints: ResMut<Assets<Paint>>,
    mut lit: Local<Option<theme::Light>>,
) {
    let desk = &mut desk.0;
    let changed = desk.changed;
    if changed == Changed::NONE {
        return;
    }
    let mut makers = Makers {
        commands: &mut commands,
        meshes: &mut meshes,
        paints: &mut paints,
    };
    if lit.replace(desk.light) != Some(desk.light) {
        glass::dress_backdrop(&mut makers, &mut bodies, desk.light);
    }
    if changed.bodies {
        glass::dress_house(
            &mut makers,
            &mut bodies,
            desk.staged(),
            desk.axis,
            &desk.layers,
        );
    }
    if changed.bodies || changed.halo {
        glass::dress_halo(&mut makers, &mut bodies, desk.halo());
    }
    if changed.layers {
        glass::dress_layers(&mut commands, &bodies, &desk.layers);
    }
    glass::turn_glass(&mut paints, &mut bodies, desk.is_below());
}

fn draw(
    mut desk: ResMut<OnDesk>,
    mut easel: ResMut<Easel>,
    mut images: ResMut<Assets<Image>>,
    mut session: ResMut<Session>,
    paper: Res<OnPaper>,
    mut cameras: Query<(&mut Camera, &mut Transform)>,
) {
    let desk = &mut desk.0;
    let Some(canvas) = desk.canvas else { return };
    let scale = cameras
        .get(paper.ui_camera)
        .ok()
        .and_then(|(camera, _)| camera.target_scaling_factor())
        .unwrap_or(1.0);
    let size = (Vec2::new(canvas.width(), canvas.height()) * scale)
        .round()
        .max(Vec2::ONE)
        .as_uvec2();
    let sized = easel::size_images(&mut easel, &mut images, size);
    let new = sized || desk.changed.bodies || desk.changed.halo;
    let draw = easel.step(sized || desk.changed != Changed::NONE, new);
    easel::hang(&easel, draw, &desk.pose, &mut cameras);
    desk.changed = Changed::NONE;
    session.drew_before |= draw != Draw::Nothing;
    if draw == Draw::Coarse {
        session.moving.frame(Instant::now());
    }
}

fn interface(
    mut contexts: EguiContexts,
    mut desk: ResMut<OnDesk>,
    mut session: ResMut<Session>,
    easel: Res<Easel>,
    paper: Res<OnPaper>,
) -> Result {
    let ctx = contexts.ctx_mut()?.clone();
    let desk = &mut desk.0;
    if (session.text - desk.text).abs() > 1e-6 || session.light != Some(desk.light) {
        (session.text, session.light) = (desk.text, Some(desk.light));
        theme::dress(&ctx, desk.text, desk.light);
    }
    let room = egui::UiBuilder::new()
        .layer_id(egui::LayerId::background())
        .max_rect(ctx.viewport_rect());
    let pixels = ctx.viewport_rect().size() * ctx.pixels_per_point();
    session.laid_out = Vec2::new(pixels.x, pixels.y).round().as_uvec2();
    let mut ui = egui::Ui::new(ctx, egui::Id::new("desk"), room);
    ui.ctx()
        .accesskit_node_builder(egui::accesskit_root_id(), |node| {
            node.set_label(title(desk));
        });
    let pass = match paper.paper {
        Paper::Window { .. } | Paper::Image { panels: true, .. } => {
            desk_ui(&mut ui, desk, easel.shown())
        }
        Paper::Image { key, .. } => picture_ui(&mut ui, desk, easel.shown(), key),
    };
    let Pass {
        actions,
        canvas,
        covered,
        labels,
        answers,
        held,
    } = pass;
    desk.labels = labels;
    desk.answers = answers;
    session.held = held;
    let hover = desk.measure.hover.clone();
    // The pointer resting where it was is nothing new.
    let asked = actions
        .iter()
        .any(|action| !matches!(action, Action::Hover(_)));
    desk.covered = covered;
    for action in actions {
        desk.take(action);
    }
    if let Some(canvas) = canvas {
        desk.put_canvas(canvas);
    }
    let news = asked || desk.changed != Changed::NONE || desk.measure.hover != hover;
    session.calm = if news {
        0
    } else {
        session.calm.saturating_add(1)
    };
    Ok(())
}

/// Writes what was asked to be written.
fn keep(mut desk: ResMut<OnDesk>, disk: Option<Res<OnDisk>>) {
    if std::mem::take(&mut desk.0.keepsake)
        && let Some(disk) = &disk
        && let Err(why) = keepsake::write(&mut desk.0, &disk.0)
    {
        desk.0.paper_wrong = Some(why);
    }
    if desk.0.edit.chores.is_empty() {
        return;
    }
    let chores = std::mem::take(&mut desk.0.edit.chores);
    if let Some(disk) = disk {
        recovery::keep(&mut desk.0, &disk.0, chores);
    }
}

/// Looks round for other layouts, reads one to compare with, or opens one in this window: after what was unsaved is kept.
fn shelve(world: &mut World) {
    let asked = std::mem::take(&mut world.resource_mut::<OnDesk>().0.shelf.chores);
    let Some(shelf) = world.get_resource::<OnShelf>().map(|shelf| shelf.0.clone()) else {
        return;
    };
    for chore in asked {
        world.resource_mut::<Session>().calm = 0;
        match chore {
            ShelfChore::Look => {
                let file = world.resource::<OnDisk>().0.clone();
                world.resource_mut::<OnDesk>().0.shelf.at_hand =
                    shelf::at_hand(&file, &(shelf.recent)());
            }
            ShelfChore::Compare(path) => {
                let read = if path.is_file() {
                    ((shelf.open)(&path).load)()
                } else {
                    Err(format!("there is no file {}", path.display()))
                };
                let desk = &mut world.resource_mut::<OnDesk>().0;
                match read {
                    Ok(house) => {
                        desk.shelf.wrong = None;
                        desk.compare_with(window::name_of(&path), house);
                    }
                    Err(why) => desk.shelf.wrong = Some(why),
                }
            }
            ShelfChore::Open(path) => open(world, &shelf, path),
        }
    }
}

/// Opens another layout in place of the one on the desk; one that cannot be read is told, and nothing changes.
fn open(world: &mut World, shelf: &Shelf, path: PathBuf) {
    let read = stamp(&path);
    let opening = (shelf.open)(&path);
    let house = if read.is_some() {
        (opening.load)()
    } else {
        Err(format!("there is no file {}", path.display()))
    };
    let house = match house {
        Ok(house) => house,
        Err(why) => {
            let state = &mut world.resource_mut::<OnDesk>().0.shelf;
            (state.open, state.wrong) = (true, Some(why));
            return;
        }
    };
    let mut desk = window::laid_out(house, &path, Some(opening.hooks));
    desk.shelf.there = true;
    let before = &mut world.resource_mut::<OnDesk>().0;
    (desk.text, desk.panels, desk.light) = (before.text, before.panels, before.light);
    desk.canvas = before.canvas;
    *before = desk;
    before.open_evening_if_blank();
    let title = title(before);
    let news = watch(&path, read, opening.load, window::waker(world));
    (shelf.remember)(&path);
    world.insert_resource(OnNews(news));
    world.insert_resource(OnDisk(path));
    let mut windows = world.query::<&mut Window>();
    for mut window in windows.iter_mut(world) {
        window.title.clone_from(&title);
    }
}

/// When the picture has come to rest: the probe, and a picture of the window if one is wanted.
fn tell(
    mut commands: Commands,
    desk: Res<OnDesk>,
    easel: Res<Easel>,
    mut session: ResMut<Session>,
    mut settled_before: Local<bool>,
    outlets: Res<Outlets>,
    paper: Res<OnPaper>,
    cameras: Query<&Camera>,
    mut before: Local<Option<Probe>>,
) {
    let settled = easel.stage == Stage::Rest && !busy(&desk.0, &easel, &session);
    let camera = cameras.get(paper.ui_camera).ok();
    let size = camera
        .and_then(Camera::physical_target_size)
        .unwrap_or(UVec2::ONE);
    // Just resized: the interface is still laid out for the size before.
    let laid_out = size
        .as_ivec2()
        .distance_squared(session.laid_out.as_ivec2())
        <= 2;
    if !laid_out {
        session.calm = 0;
    }
    let settled = settled && laid_out;
    let newly = settled && !*settled_before;
    *settled_before = settled;
    if !settled || session.capturing {
        return;
    }
    let scale = camera
        .and_then(Camera::target_scaling_factor)
        .unwrap_or(1.0);
    let mut now = probe(&desk.0, size.to_array(), scale);
    // Also without a new drawing something can have changed: a measure, an error, the tape.
    if !newly && before.as_ref() == Some(&now) {
        return;
    }
    *before = Some(now.clone());
    session.settled += 1;
    now.settled = session.settled;
    now.first_frame_ms = session
        .first_frame
        .and_then(|time| u64::try_from(time.as_millis()).ok())
        .unwrap_or(0);
    now.moving_fps = session.moving.fps();
    if let Some(folder) = &outlets.pictures {
        let file = folder.join(format!("settled-{}.png", session.settled));
        session.capturing = true;
        let target = paper
            .image
            .clone()
            .map_or_else(Screenshot::primary_window, Screenshot::image);
        commands
            .spawn(target)
            .observe(capture(file, now, outlets.clone()));
    } else {
        give(&outlets, &now);
    }
}

fn capture(
    file: PathBuf,
    mut now: Probe,
    outlets: Outlets,
) -> impl FnMut(On<ScreenshotCaptured>, ResMut<Session>) + Send + Sync {
    move |shot: On<ScreenshotCaptured>, mut session: ResMut<Session>| {
        session.capturing = false;
        let saved = shot
            .image
            .clone()
            .try_into_dynamic()
            .ok()
            .and_then(|image| image.to_rgb8().save(&file).ok());
        now.screenshot = saved.map(|()| file.display().to_string());
        give(&outlets, &now);
    }
}

fn give(outlets: &Outlets, now: &Probe) {
    if let Some(file) = &outlets.probe {
        // A probe that cannot be written is missed by whoever waits for it; the window goes on.
        let _ = now.write(file);
    }
    if let Some(told) = &outlets.told {
        told(now);
    }
}

fn busy(desk: &Desk, easel: &Easel, session: &Session) -> bool {
    desk.changed != Changed::NONE
        || desk.flight.is_some()
        || session.held
        || easel.soaks()
        || session.calm < CALM
}

/// The next frame now, soon, or when something happens.
fn wait(
    desk: Res<OnDesk>,
    easel: Res<Easel>,
    session: Res<Session>,
    mut settings: ResMut<WinitSettings>,
    mut redraw: MessageWriter<RequestRedraw>,
) {
    let mode = match easel.stage {
        Stage::Moving | Stage::Waiting => reactive(Duration::from_millis(40)),
        Stage::Fine | Stage::Rest => rest(),
    };
    if settings.focused_mode != mode {
        settings.focused_mode = mode;
        settings.unfocused_mode = mode;
    }
    if busy(&desk.0, &easel, &session) || session.capturing || easel.stage == Stage::Fine {
        redraw.write(RequestRedraw);
    }
}

/// Makes an app without a window ready to be stepped.
pub(crate) fn start(app: &mut App) {
    while app.plugins_state() == PluginsState::Adding {
        bevy::tasks::tick_global_task_pools_on_main_thread();
    }
    app.finish();
    app.cleanup();
}

/// Steps an app without a window until its picture is at rest. False if it does not come to rest in `most` frames.
pub(crate) fn settle(app: &mut App, most: u32) -> bool {
    for _ in 0..most {
        app.update();
        let world = app.world();
        let (desk, easel, session) = (
            world.resource::<OnDesk>(),
            world.resource::<Easel>(),
            world.resource::<Session>(),
        );
        if desk.0.canvas.is_some()
            && easel.stage == Stage::Rest
            && !busy(&desk.0, easel, session)
            && !session.capturing
        {
            return true;
        }
    }
    false
}

/// Asks for the finished image of an app without a window; it comes within a few more steps.
pub(crate) fn shoot(app: &mut App, sender: Sender<Image>) {
    let Some(image) = app.world().resource::<OnPaper>().image.clone() else {
        return;
    };
    let send =
        move |shot: On<ScreenshotCaptured>| sender.send(shot.image.clone()).unwrap_or_default();
    app.world_mut()
        .spawn(Screenshot::image(image))
        .observe(send);
}
