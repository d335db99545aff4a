/* Where everything on a card has its place. Three ways to fill it are tried, and that with the
 * largest drawing is taken: steps below drawing and facts; steps beside the drawing, facts below
 * it; steps and facts in columns beside the drawing. All text is measured, so nothing lies on
 * another. */
#include "emit/card.h"
#include "emit/cardset.h"
#include "emit/type.h"

#include <math.h>

/* Units of type. */
static const double TITLE = 7.6, SMALL_TITLE = 5.6, LEAST_TITLE = 4.6, SUBTITLE = 4.2,
                    LEAST_SUBTITLE = 3.2;
static const double KIND = 3.0, SHORT = 2.5;
static const double COLUMN = 44; /* the least width of a column of facts */
/* A drawing at its most is crowded: this much of it is looked for first. */
static const double COMFORT = 0.92;

static const struct spacing spacings[BRIEF_DEPTHS] = {[BRIEF_LEAST] = {1.5, 3.5, 2.75, 0.4},
                                                      [BRIEF_HANDS] = {1.5, 3.5, 2.75, 0.4},
                                                      [BRIEF_TWICE] = {2.6, 4.4, 2.85, 0.6},
                                                      [BRIEF_NOTES] = {2.6, 4.4, 3.1, 0.8},
                                                      [BRIEF_WHOLE] = {2.6, 4.4, 3.1, 0.8}};

/* ---- head and foot ---- */

/* A title shrinks to `least` where it is too long, then it is broken. */
static double set_title(const struct card_setting *s, const char *class_name, double y, double size,
                        double least, double width, const char *text) {
    double wide = text_width(text, size);
    if (wide > width) size = fmax(size * width / wide, least);
    struct text_lines lines = break_text(s->arena, text, size, width);
    for (size_t i = 0; i < lines.lines.count; i++, y += size * 1.3) {
        if (s->dry) continue;
        struct card_mark *mark =
            add_mark(s, MARK_TEXT, class_name, (struct point){0, y + size * CARD_FOOT});
        mark->text = lines.lines.at[i];
        mark->size = size;
    }
    return y;
}

static double set_head(const struct card_setting *s) {
    const struct brief *brief = s->card->subject->brief;
    double width = s->card->wish.width, kind = text_width(brief->kind, KIND);
    bool whole = s->card->wish.depth >= BRIEF_TWICE;
    double least = s->card->wish.title, most = fmax(whole ? TITLE : SMALL_TITLE, least);
    double y = set_title(s, "card-title", 0, most, fmax(LEAST_TITLE, least), width, brief->title);
    double room = width - kind - CARD_GAP;
    bool beside = room > width / 2;
    double below = set_title(s, "card-subtitle", y, SUBTITLE, LEAST_SUBTITLE, beside ? room : width,
                             brief->subtitle);
    if (beside)
        set_ending(s, "card-kind", width, y + (SUBTITLE - KIND) * CARD_FOOT, KIND, brief->kind);
    else
        below = set_lines(s, "card-kind", 0, below, width, KIND, brief->kind);
    y = below;
    if (whole) y = set_lines(s, "card-short", 0, below + 0.8, width, SHORT, brief->shorthand);
    set_rule(s, "card-rule", 0, y + 1.2, width);
    return y + 1.2 + CARD_GAP * 0.6;
}

/* What is left out, if that is wanted at the bench, and the cautions. */
static double set_foot_lines(const struct card_setting *s, double y) {
    const struct brief *brief = s->card->subject->brief;
    double width = s->card->wish.width;
    if (s->card->wish.depth < BRIEF_HANDS && brief->elsewhere[0] != '\0')
        y = set_lines(s, "card-elsewhere", 0, y, width, SHORT, brief->elsewhere);
    return set_lines(s, "card-caution", 0, y, width, SHORT, brief->cautions);
}

/* It stands at the bottom; gives back how much it takes. */
static double set_foot(const struct card_setting *s) {
    struct card_setting dry = *s;
    dry.dry = true;
    double height = set_foot_lines(&dry, 0), y = s->card->wish.height - height;
    set_rule(s, "card-rule", 0, y - 1.6, s->card->wish.width);
    set_foot_lines(s, y);
    return height + 1.6 + CARD_GAP * 0.6;
}

/* ---- the three ways ---- */

struct way {
    double unit; /* mm of the racket; infinite where this way does not go */
    struct point figure_at;
    struct columns steps, facts;
    bool facts_follow; /* the steps, in their columns */
};

static double span_at(struct figure_span span, double unit) { return span.from + span.by * unit; }

/* The least unit at which the drawing goes into a rectangle, in units of type. */
static double unit_for(const struct figure_shape *shape, double width, double height) {
    double across = width - shape->width.by, down = height - shape->height.by;
    if (across <= 0 || down <= 0) return INFINITY;
    return fmax(shape->width.from / across, shape->height.from / down) * 1.002;
}

static const struct figure_shape *shape_of(const struct card *card) {
    return &card->subject->shapes[card->wish.drawing];
}

static struct columns split(double left, double top, double width, double bottom, int count) {
    double own = (width - CARD_GAP * (count - 1)) / count;
    return (struct columns){left, own, CARD_GAP, top, bottom, count};
}

/* Facts beside a drawing: the narrowest columns they go into at that height. */
static bool facts_beside(const struct card_setting *s, double width, double height,
                         struct columns *facts) {
    for (double wide = COLUMN; wide <= width - COLUMN; wide += 3) {
        int count = (int)floor((wide + CARD_GAP) / (COLUMN + CARD_GAP));
        *facts = split(0, 0, wide, height, count < 1 ? 1 : count);
        if (facts_height(s, *facts) <= height) return true;
    }
    return false;
}

/* Steps below, across the whole width. */
static struct way steps_below(const struct card_setting *s, const struct steps *steps, double top,
                              double bottom) {
    const struct figure_shape *shape = shape_of(s->card);
    struct way way = {.unit = INFINITY};
    double width = s->card->wish.width;
    int count = (int)floor((width + CARD_GAP) / (steps->width + CARD_GAP));
    if (count < 1) return way;
    struct columns below = split(0, 0, width, 0, count);
    double tall_steps = steps_height(s, steps, below),
           height = bottom - top - CARD_GAP - tall_steps;
    struct columns beside;
    if (height < COLUMN || !facts_beside(s, width, height, &beside)) return way;
    double sidebar = beside.count * (beside.width + CARD_GAP);
    way.unit = unit_for(shape, width - sidebar, height);
    if (isinf(way.unit)) return way;
    double taken = span_at(shape->width, way.unit) / way.unit,
           tall = span_at(shape->height, way.unit) / way.unit;
    double spare = width - taken - sidebar;
    /* What the drawing leaves goes to the facts, as far as they can use it, then around it. */
    double more = fmin(spare, 16 * beside.count);
    way.figure_at = (struct point){(spare - more) / 2, top};
    way.facts = split(taken + spare - more + CARD_GAP, top, width - taken - spare + more - CARD_GAP,
                      top + height, beside.count);
    below.top = top + fmax(tall, facts_height(s, way.facts)) + CARD_GAP;
    below.bottom = below.top + tall_steps + 0.2; /* as even as they go */
    way.steps = below;
    return way;
}

/* Columns of steps to the right of a drawing, which has the width that is left. */
struct beside {
    double width;
    struct columns right;
    struct filled filled;
};

/* False where they do not go in. */
static bool put_beside(const struct card_setting *s, const struct steps *steps, double top,
                       double bottom, int columns, struct beside *beside) {
    struct card_setting dry = *s;
    dry.dry = true;
    double width = s->card->wish.width - columns * (steps->width + CARD_GAP);
    beside->width = width;
    beside->right =
        (struct columns){width + CARD_GAP, steps->width, CARD_GAP, top, bottom, columns};
    return width >= COLUMN && set_steps(&dry, steps, &beside->right, &beside->filled);
}

/* Steps to the right of the drawing, from top to bottom; facts below it. */
static struct way steps_beside(const struct card_setting *s, const struct steps *steps, double top,
                               double bottom, int columns) {
    const struct figure_shape *shape = shape_of(s->card);
    struct way way = {.unit = INFINITY};
    struct beside beside;
    if (!put_beside(s, steps, top, bottom, columns, &beside)) return way;
    double width = beside.width;
    int count = (int)floor((width + CARD_GAP) / (COLUMN + CARD_GAP));
    for (; count >= 1; count--) {
        struct columns facts = split(0, 0, width, 0, count);
        double height = facts_height(s, facts);
        double unit = unit_for(shape, width, bottom - top - CARD_GAP - height);
        if (unit >= way.unit) continue;
        way.unit = unit;
        double spare = width - span_at(shape->width, unit) / unit;
        way.figure_at = (struct point){spare / 2, top};
        facts.top = top + span_at(shape->height, unit) / unit + CARD_GAP;
        facts.bottom = bottom;
        way.facts = facts;
    }
    way.steps = beside.right;
    way.steps.bottom = top + fmin(bottom - top, steps_height(s, steps, way.steps) + 0.2);
    return way;
}

/* Steps and then facts in columns to the right of the drawing. */
static struct way all_beside(const struct card_setting *s, const struct steps *steps, double top,
                             double bottom, int columns) {
    const struct figure_shape *shape = shape_of(s->card);
    struct way way = {.unit = INFINITY};
    struct beside beside;
    if (!put_beside(s, steps, top, bottom, columns, &beside)) return way;
    struct fact_heights heights = measure_facts(s, beside.right.width);
    struct card_setting dry = *s;
    dry.dry = true;
    if (!set_facts(&dry, &heights, &beside.right, beside.filled.column,
                   beside.filled.y + s->space.block))
        return way;
    way.unit = unit_for(shape, beside.width, bottom - top);
    if (isinf(way.unit)) return way;
    double spare = beside.width - span_at(shape->width, way.unit) / way.unit;
    way.figure_at = (struct point){spare / 2, top};
    way.steps = beside.right;
    way.facts_follow = true;
    return way;
}

/* Steps below are what the eye is used to: another way is taken where its drawing is clearly
 * larger, or is alone in not being crowded. */
static bool is_better_way(const struct way *other, const struct way *best, double most) {
    const double clearly = 0.92;
    if (best->unit > most) return other->unit < best->unit;
    return other->unit < best->unit * clearly;
}

static struct way best_way(const struct card_setting *s, const struct steps *steps, double top,
                           double bottom, double most) {
    enum { MOST_COLUMNS = 4 };
    struct way best = steps_below(s, steps, top, bottom);
    for (int columns = 1; columns <= MOST_COLUMNS; columns++) {
        struct way others[] = {steps_beside(s, steps, top, bottom, columns),
                               all_beside(s, steps, top, bottom, columns)};
        for (int i = 0; i < 2; i++)
            if (is_better_way(&others[i], &best, most)) best = others[i];
    }
    return best;
}

/* ---- a card ---- */

static struct card *begin_card(const struct card_subject *subject, struct arena *arena,
                               const struct card_wish *wish, const char *prefix) {
    struct card *card = arena_one(arena, struct card);
    card->subject = subject;
    card->wish = *wish;
    /* Which signs the drawing has does not depend on its size. */
    struct layout *stand_in = arena_one(arena, struct layout);
    stand_in->pattern = subject->brief->pattern;
    stand_in->counts = wish->drawing == DRAWN_WHOLE;
    card->figure = (struct figure){.layout = stand_in, .prefix = prefix, .bare = true};
    return card;
}

static struct card_setting setting_for(struct card *card, struct arena *arena, bool dry) {
    return (struct card_setting){card, arena, spacings[card->wish.depth], dry};
}

/* Leaves nothing in the arena. */
static struct way find_way(struct card *card, struct arena *arena, const struct steps *steps) {
    struct arena_mark mark = arena_mark(arena);
    struct card_setting dry = setting_for(card, arena, true);
    double top = set_head(&dry), bottom = card->wish.height - set_foot(&dry);
    double most = shape_of(card)->most * (card->wish.depth <= BRIEF_TWICE ? 1 : COMFORT);
    struct way way = best_way(&dry, steps, top, bottom, most);
    arena_rewind(arena, mark);
    if (way.unit > most) way.unit = INFINITY;
    return way;
}

bool card_goes(const struct card_subject *subject, struct arena *arena,
               const struct card_wish *wish) {
    struct arena_mark mark = arena_mark(arena);
    struct card *card = begin_card(subject, arena, wish, "");
    struct card_setting dry = setting_for(card, arena, true);
    struct steps steps = measure_steps(&dry);
    bool goes = !isinf(find_way(card, arena, &steps).unit);
    arena_rewind(arena, mark);
    return goes;
}

static void set_all_facts(const struct card_setting *s, const struct steps *steps,
                          const struct way *way) {
    const struct columns *columns = way->facts_follow ? &way->steps : &way->facts;
    struct fact_heights heights = measure_facts(s, columns->width);
    struct filled behind = {0, columns->top - s->space.block, 0};
    struct card_setting dry = *s;
    dry.dry = true;
    if (way->facts_follow) set_steps(&dry, steps, columns, &behind);
    set_facts(s, &heights, columns, behind.column, behind.y + s->space.block);
}

struct card *lay_out_card(const struct card_subject *subject, struct arena *arena,
                          const struct card_wish *wish, const char *prefix) {
    struct card *card = begin_card(subject, arena, wish, prefix);
    struct card_setting wet = setting_for(card, arena, false), *s = &wet;
    struct steps steps = measure_steps(s);
    struct way way = find_way(card, arena, &steps);
    if (isinf(way.unit)) return NULL;
    /* In the order of reading. */
    set_head(s);
    set_all_facts(s, &steps, &way);
    struct filled filled;
    set_steps(s, &steps, &way.steps, &filled);
    set_foot(s);
    card->figure.layout = lay_out_drawn(subject->brief->pattern, arena, way.unit, wish->drawing);
    card->figure_at = way.figure_at;
    return card;
}
