/* The plan of a chart, and its pages as SVG in mm. */
#include "emit/chart.h"

#include "emit/bed.h"
#include "emit/card.h"
#include "emit/svg.h"

#include <math.h>

/* All in mm. `least` is the smallest type that is read from where such a sheet hangs or lies,
 * `title` the smallest of a title. */
struct paper {
    double width, height, margin, least, title;
};

static const struct paper papers[SELVAGE_PAPERS] = {
    [SELVAGE_A2] = {420, 594, 8, 2.2, 8},          [SELVAGE_A3] = {297, 420, 10, 2.1, 0},
    [SELVAGE_A4] = {210, 297, 10, 2.1, 0},         [SELVAGE_A5] = {148, 210, 6, 2.0, 0},
    [SELVAGE_LETTER] = {215.9, 279.4, 10, 2.1, 0},
};

static const double GUTTER = 4, PADDING = 4; /* between cards, and inside the line round each */
static const double SHEET_LINE = 5;          /* at the foot, where there are several sheets */
static const double MOST_SCALE = 4;

/* ---- the plan ---- */

/* How well cards go on a grid: what the one that tells least tells, and the size of type of all. */
struct fit {
    int telling; /* as many as there are: one does not go at all */
    double scale;
};

struct grid {
    size_t columns, rows;
    bool landscape;
    double card_width, card_height; /* inside its line */
    double title;                   /* the least size of a title, mm */
    struct fit fit;
};

/* What is tried for a card, in this order. */
struct telling {
    enum brief_depth depth;
    enum card_drawing drawing;
};
static const struct telling tellings[] = {
    {BRIEF_WHOLE, DRAWN_WHOLE},     {BRIEF_NOTES, DRAWN_WHOLE},     {BRIEF_TWICE, DRAWN_WHOLE},
    {BRIEF_TWICE, DRAWN_UNCOUNTED}, {BRIEF_HANDS, DRAWN_UNCOUNTED}, {BRIEF_HANDS, DRAWN_DENSE},
    {BRIEF_LEAST, DRAWN_UNCOUNTED}, {BRIEF_LEAST, DRAWN_DENSE}};
enum { TELLINGS = sizeof tellings / sizeof *tellings };

/* Rather than tell less, cards stand on more sheets. */
enum { LAST_TOGETHER = 6 };

static double least_scale(const struct selvage_chart *chart) {
    return papers[chart->paper].least / CARD_TYPE;
}

static struct grid grid_of(const struct selvage_chart *chart, size_t columns, size_t rows,
                           bool landscape, bool several) {
    const struct paper *paper = &papers[chart->paper];
    double width = landscape ? paper->height : paper->width,
           height = landscape ? paper->width : paper->height;
    double padding = columns * rows > 1 ? 2 * PADDING : 0;
    double across = width - 2 * paper->margin - GUTTER * (double)(columns - 1),
           down = height - 2 * paper->margin - GUTTER * (double)(rows - 1) -
                  (several ? SHEET_LINE : 0);
    return (struct grid){.columns = columns,
                         .rows = rows,
                         .landscape = landscape,
                         .card_width = across / (double)columns - padding,
                         .card_height = down / (double)rows - padding,
                         .title = paper->title};
}

static struct card_wish wish_of(const struct grid *grid, double scale, int telling) {
    return (struct card_wish){grid->card_width / scale, grid->card_height / scale,
                              grid->title / scale, tellings[telling].depth,
                              tellings[telling].drawing};
}

/* The fullest telling with which a card goes in, or TELLINGS. */
static int telling_for(const struct card_subject *subject, struct arena *arena,
                       const struct grid *grid, double scale) {
    for (int telling = 0; telling < TELLINGS; telling++) {
        struct card_wish wish = wish_of(grid, scale, telling);
        if (card_goes(subject, arena, &wish)) return telling;
    }
    return TELLINGS;
}

static bool is_better(struct fit a, struct fit b) {
    return a.telling != b.telling ? a.telling < b.telling : a.scale > b.scale;
}

/* The largest type for a card, at most `most`, with the fullest telling that goes in at all. */
static struct fit fit_card(const struct card_subject *subject, struct arena *arena,
                           const struct grid *grid, double least, double most) {
    struct fit fit = {telling_for(subject, arena, grid, least), most};
    if (fit.telling == TELLINGS || telling_for(subject, arena, grid, most) <= fit.telling)
        return fit;
    fit.scale = least;
    for (double high = most; high - fit.scale > 0.01;) {
        double middle = (fit.scale + high) / 2;
        if (telling_for(subject, arena, grid, middle) <= fit.telling)
            fit.scale = middle;
        else
            high = middle;
    }
    return fit;
}

/* The same for all cards; it goes no further where it is known not to be better than `best`. */
static struct fit fit_all(const struct card_subject *const *subjects, size_t count,
                          struct arena *arena, const struct grid *grid, struct fit best,
                          const struct selvage_chart *chart) {
    struct fit all = {0, MOST_SCALE};
    double least = least_scale(chart);
    for (size_t i = 0; i < count && is_better(all, best); i++) {
        struct fit one = fit_card(subjects[i], arena, grid, least, all.scale);
        all.scale = one.scale;
        if (one.telling > all.telling) all.telling = one.telling;
    }
    return all;
}

/* The best grid for so many cards a sheet; its telling is TELLINGS where there is none. */
static struct grid best_grid(const struct card_subject *const *subjects, size_t count,
                             size_t on_one, bool several, struct arena *arena,
                             const struct selvage_chart *chart) {
    struct grid best = {.fit = {TELLINGS, 0}};
    for (int turned = chart->landscape; turned < (chart->bench ? 1 : 2); turned++)
        for (size_t columns = 1; columns <= on_one; columns++) {
            size_t rows = (on_one + columns - 1) / columns;
            if (rows > 1 && (rows - 1) * columns >= on_one) continue;
            struct grid grid = grid_of(chart, columns, rows, turned == 1, several);
            if (grid.card_width < 60 || grid.card_height < 60) continue;
            grid.fit = fit_all(subjects, count, arena, &grid, best.fit, chart);
            if (is_better(grid.fit, best.fit)) best = grid;
        }
    return best;
}

/* No sheet holds more cards than have this area, mm2, in the smallest type. */
static const double LEAST_AREA = 15000;

/* The fewest sheets, and on them the largest cards. */
static bool plan_sheets(const struct card_subject *const *subjects, size_t count,
                        struct selvage_chart *chart, struct arena *arena) {
    const struct paper *paper = &papers[chart->paper];
    size_t most = (size_t)fmax(1, paper->width * paper->height / LEAST_AREA), before = 0;
    if (most > count) most = count;
    for (size_t on_one = most; on_one > 0; on_one--) {
        size_t sheets = (count + on_one - 1) / on_one;
        /* As many sheets with fewer cards on each is better, if it is enough. */
        if ((count + on_one - 2) / (on_one > 1 ? on_one - 1 : 1) == sheets && on_one > 1) continue;
        if (sheets == before) continue;
        before = sheets;
        struct grid grid = best_grid(subjects, count, on_one, sheets > 1, arena, chart);
        if (grid.fit.telling > (on_one > 1 ? LAST_TOGETHER : TELLINGS - 1)) continue;
        chart->sheets = sheets;
        chart->columns = grid.columns;
        chart->rows = grid.rows;
        chart->scale = grid.fit.scale;
        chart->width = grid.landscape ? paper->height : paper->width;
        chart->height = grid.landscape ? paper->width : paper->height;
        return true;
    }
    return false;
}

/* ---- tiles ---- */

/* What no printer reaches, and how far a tile goes on beyond the cut. */
static const double EDGE = 10, BLEED = 5;
/* The label's own line, below what the tile shows. */
static const double LABEL_LINE = 5;

struct tiling {
    bool landscape;
    size_t columns, rows;
    double width,
        height;      /* of what is left of a tile when it is cut: the sheet shared out evenly */
    struct point at; /* its corner on the tile */
};

static struct tiling tiling_of(const struct selvage_chart *chart, bool landscape) {
    const struct paper *paper = &papers[chart->tile];
    double around = 2 * (EDGE + BLEED), page_width = landscape ? paper->height : paper->width,
           page_height = landscape ? paper->width : paper->height;
    size_t columns = (size_t)ceil(chart->width / (page_width - around) - 1e-9),
           rows = (size_t)ceil(chart->height / (page_height - around - LABEL_LINE) - 1e-9);
    double width = chart->width / (double)columns, height = chart->height / (double)rows;
    struct point at = {(page_width - width) / 2, (page_height - height - LABEL_LINE) / 2};
    return (struct tiling){landscape, columns, rows, width, height, at};
}

static struct tiling best_tiling(const struct selvage_chart *chart) {
    struct tiling upright = tiling_of(chart, false), across = tiling_of(chart, true);
    return across.columns * across.rows < upright.columns * upright.rows ? across : upright;
}

static bool plan_tiles(struct selvage_chart *chart) {
    chart->tile_columns = chart->tile_rows = 1;
    chart->page_width = chart->width;
    chart->page_height = chart->height;
    chart->pages = chart->sheets;
    if (!chart->tiled) return true;
    const struct paper *paper = &papers[chart->paper], *tile = &papers[chart->tile];
    if (tile->width * tile->height > paper->width * paper->height * 0.9) return false;
    struct tiling tiling = best_tiling(chart);
    chart->tile_columns = tiling.columns;
    chart->tile_rows = tiling.rows;
    chart->page_width = tiling.landscape ? tile->height : tile->width;
    chart->page_height = tiling.landscape ? tile->width : tile->height;
    chart->pages = chart->sheets * tiling.columns * tiling.rows;
    return true;
}

/* What the frame feels, where the bench asks for it: a page of its own, behind the card. */
static const struct bed *felt_on(const struct pattern *const *patterns,
                                 const struct selvage_chart *chart) {
    return chart->bench ? patterns[0]->bed : NULL;
}

bool plan_chart(const struct pattern *const *patterns, size_t count, struct selvage_chart *chart,
                struct arena *arena) {
    const struct card_subject **subjects =
        arena_many(arena, const struct card_subject *, count + 1);
    for (size_t i = 0; i < count; i++)
        subjects[i] = card_subject_of(patterns[i], arena);
    if (!plan_sheets(subjects, count, chart, arena) || !plan_tiles(chart)) return false;
    if (felt_on(patterns, chart) != NULL) chart->pages++;
    return true;
}

bool chart_holds(const struct pattern *pattern, const struct selvage_chart *chart,
                 struct arena *arena) {
    const struct card_subject *subject = card_subject_of(pattern, arena);
    for (int turned = chart->landscape; turned < (chart->bench ? 1 : 2); turned++) {
        struct grid grid = grid_of(chart, 1, 1, turned == 1, !chart->bench);
        if (telling_for(subject, arena, &grid, least_scale(chart)) < TELLINGS) return true;
    }
    return false;
}

/* ---- a sheet ---- */

struct sheet_card {
    struct card *card;
    const char *id;
    struct point cell; /* its corner, mm */
    double width, height;
};

/* What of which sheet a page shows, mm of the sheet. */
struct view {
    size_t sheet, column, row; /* of the tile */
    double left, top, width, height;
    struct tiling tiling;
};

static struct view view_of(const struct selvage_chart *chart, size_t page) {
    struct view view = {.sheet = page, .width = chart->width, .height = chart->height};
    if (!chart->tiled) return view;
    size_t tiles = chart->tile_columns * chart->tile_rows;
    view.tiling = best_tiling(chart);
    view.sheet = page / tiles;
    view.row = page % tiles / chart->tile_columns;
    view.column = page % tiles % chart->tile_columns;
    view.left = (double)view.column * view.tiling.width - BLEED;
    view.top = (double)view.row * view.tiling.height - BLEED;
    view.width = view.tiling.width + 2 * BLEED;
    view.height = view.tiling.height + 2 * BLEED;
    return view;
}

static bool is_seen(const struct view *view, const struct sheet_card *card) {
    return card->cell.x < view->left + view->width && card->cell.x + card->width > view->left &&
           card->cell.y < view->top + view->height && card->cell.y + card->height > view->top;
}

static struct card *card_in(const struct selvage_chart *chart, const struct grid *grid,
                            const struct pattern *pattern, struct arena *arena,
                            const char *prefix) {
    const struct card_subject *subject = card_subject_of(pattern, arena);
    int telling = telling_for(subject, arena, grid, chart->scale);
    if (telling == TELLINGS) return NULL;
    struct card_wish wish = wish_of(grid, chart->scale, telling);
    return lay_out_card(subject, arena, &wish, prefix);
}

struct sheet_cards {
    array_of(struct sheet_card) cards;
    size_t first, last; /* of the patterns */
};

/* Patterns are shared out evenly over the sheets. */
static size_t first_of_sheet(const struct selvage_chart *chart, size_t count, size_t sheet) {
    return sheet * (count / chart->sheets) +
           (sheet < count % chart->sheets ? sheet : count % chart->sheets);
}

static struct sheet_cards cards_of(const struct pattern *const *patterns, size_t count,
                                   const struct selvage_chart *chart, const struct view *view,
                                   struct arena *arena) {
    const struct paper *paper = &papers[chart->paper];
    bool landscape = chart->width > chart->height;
    struct grid grid = grid_of(chart, chart->columns, chart->rows, landscape, chart->sheets > 1);
    double padding = chart->columns * chart->rows > 1 ? PADDING : 0;
    struct sheet_cards all = {.first = first_of_sheet(chart, count, view->sheet),
                              .last = first_of_sheet(chart, count, view->sheet + 1)};
    for (size_t i = all.first; i < all.last; i++) {
        size_t place = i - all.first;
        struct sheet_card one = {.width = grid.card_width + 2 * padding,
                                 .height = grid.card_height + 2 * padding};
        one.cell.x = paper->margin + (double)(place % chart->columns) * (one.width + GUTTER);
        one.cell.y = paper->margin + (double)(place / chart->columns) * (one.height + GUTTER);
        if (!is_seen(view, &one)) continue;
        one.id = format(arena, "card-%zu", place + 1);
        one.card = card_in(chart, &grid, patterns[i], arena, format(arena, "%s-", one.id));
        if (one.card != NULL) *array_add(arena, &all.cards) = one;
    }
    return all;
}

static void put_card_line(const struct sheet_card *card, struct output *out) {
    struct point middle = {card->cell.x + card->width / 2, card->cell.y + card->height / 2};
    svg_box(out, "card-edge", middle, card->width, card->height, 2);
}

static void put_sheet(const struct sheet_cards *all, const struct selvage_chart *chart,
                      const struct view *view, struct output *out) {
    const struct paper *paper = &papers[chart->paper];
    bool several = chart->columns * chart->rows > 1;
    struct point middle = {chart->width / 2, chart->height / 2};
    svg_box(out, "paper", middle, chart->width, chart->height, 0);
    for (size_t i = 0; i < all->cards.count; i++) {
        const struct sheet_card *card = &all->cards.at[i];
        struct point corner = {card->cell.x + (several ? PADDING : 0),
                               card->cell.y + (several ? PADDING : 0)};
        if (several) put_card_line(card, out);
        put_card(card->card, card->id, corner, chart->scale, out);
    }
    if (chart->sheets == 1) return;
    put(out, "<text class=\"chart-sheet\" text-anchor=\"end\"");
    svg_number(out, "x", chart->width - paper->margin);
    svg_number(out, "y", chart->height - paper->margin);
    put_format(out, ">sheet %zu of %zu</text>\n", view->sheet + 1, chart->sheets);
}

/* ---- pages ---- */

static void put_mm(struct output *out, const char *name, double mm) {
    put_format(out, " %s=\"", name);
    put_decimal(out, mm, 2);
    put(out, "mm\"");
}

static const char *tile_words(const struct selvage_chart *chart, const struct view *view,
                              struct arena *arena) {
    return format(arena, "sheet %zu, row %zu, column %zu of %zu x %zu: cut along the marks",
                  view->sheet + 1, view->row + 1, view->column + 1, chart->tile_columns,
                  chart->tile_rows);
}

static const char *page_title(const struct sheet_cards *all, const struct selvage_chart *chart,
                              const struct view *view, const struct pattern *const *patterns,
                              struct arena *arena) {
    struct output out = output_to(arena);
    for (size_t i = all->first; i < all->last; i++)
        put_format(&out, "%s%s: %s", i > all->first ? "; " : "", frame_title(patterns[i]->frame),
                   pattern_title(patterns[i]));
    if (chart->tiled)
        put_format(&out, " (%s)", tile_words(chart, view, arena));
    else if (chart->sheets > 1)
        put_format(&out, " (sheet %zu of %zu)", view->sheet + 1, chart->sheets);
    return output_text(&out);
}

static void put_head(const struct sheet_cards *all, const struct selvage_chart *chart,
                     const struct view *view, const struct pattern *const *patterns,
                     struct output *out) {
    put(out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
             "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\"");
    put_mm(out, "width", chart->page_width);
    put_mm(out, "height", chart->page_height);
    put_view_box(out, (struct area){0, 0, chart->page_width, chart->page_height});
    put(out, " xml:lang=\"en\">\n");
    svg_title(out, page_title(all, chart, view, patterns, out->arena));
    put(out, "\n<desc>");
    for (size_t i = 0; i < all->cards.count; i++) {
        if (i > 0) put_char(out, ' ');
        svg_text(out,
                 figure_description(all->cards.at[i].card->figure.layout->pattern, out->arena));
    }
    put(out, "</desc>\n<style type=\"text/css\">\n");
    put_figure_style(out);
    put_card_style(out);
    for (size_t i = 0; i < all->cards.count; i++)
        put_card_sizes(all->cards.at[i].card, all->cards.at[i].id, out);
    put(out, ".card-edge{fill:none;stroke:#444;stroke-width:.3}\n"
             ".chart-sheet{font-size:3px;fill:#333}\n"
             ".tile-halo{fill:none;stroke:#fff;stroke-width:1.6;stroke-linecap:square}\n"
             ".tile-mark{fill:none;stroke:#000;stroke-width:.2}\n"
             ".tile-label{font-size:2.6px}\n"
             "</style>\n");
}

/* Two short lines outside each corner of what is left when the tile is cut. */
static void put_cut_marks(const char *class_name, struct point from, struct point to,
                          struct output *out) {
    const double off = 0.8, length = BLEED - 1.2;
    for (int corner = 0; corner < 4; corner++) {
        double sx = corner % 2 == 0 ? -1 : 1, sy = corner / 2 == 0 ? -1 : 1;
        struct point at = {sx < 0 ? from.x : to.x, sy < 0 ? from.y : to.y};
        svg_segment(out, class_name, (struct point){at.x + sx * off, at.y},
                    (struct point){at.x + sx * (off + length), at.y});
        svg_segment(out, class_name, (struct point){at.x, at.y + sy * off},
                    (struct point){at.x, at.y + sy * (off + length)});
    }
}

static void put_tile_edge(const struct selvage_chart *chart, const struct view *view,
                          struct output *out) {
    struct point from = view->tiling.at,
                 to = {from.x + view->tiling.width, from.y + view->tiling.height},
                 label = {from.x, to.y + BLEED + LABEL_LINE * 0.8};
    put_cut_marks("tile-halo", from, to, out);
    put_cut_marks("tile-mark", from, to, out);
    svg_label(out, "tile-label", label, tile_words(chart, view, out->arena));
}

static void put_tile(const struct sheet_cards *all, const struct selvage_chart *chart,
                     const struct view *view, struct output *out) {
    struct area area = {view->left, view->top, view->width, view->height};
    put(out, "<svg overflow=\"hidden\"");
    svg_number(out, "x", view->tiling.at.x - BLEED);
    svg_number(out, "y", view->tiling.at.y - BLEED);
    svg_number(out, "width", view->width);
    svg_number(out, "height", view->height);
    put_view_box(out, area);
    put(out, ">\n");
    put_sheet(all, chart, view, out);
    put(out, "</svg>\n");
    put_tile_edge(chart, view, out);
}

void emit_chart_page(const struct pattern *const *patterns, size_t count,
                     const struct selvage_chart *chart, size_t page, struct output *out) {
    const struct bed *felt = felt_on(patterns, chart);
    if (felt != NULL && page + 1 == chart->pages) {
        emit_bed_page(felt, chart->page_width, chart->page_height, out);
        return;
    }
    struct view view = view_of(chart, page);
    struct sheet_cards all = cards_of(patterns, count, chart, &view, out->arena);
    put_head(&all, chart, &view, patterns, out);
    if (chart->tiled)
        put_tile(&all, chart, &view, out);
    else
        put_sheet(&all, chart, &view, out);
    put(out, "</svg>\n");
}
