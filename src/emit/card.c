/* Where everything on a card has its place. Three ways to fill it are tried, and that with the
 * largest drawing is taken: steps below drawing and facts; steps beside the drawing, facts below
 * it; steps and facts in columns beside the drawing. All text is measured, so nothing lies on
 * another. */
#include "emit/card.h"
#include "emit/type.h"

#include <math.h>
#include <string.h>

/* Units of type. */
static const double TITLE = 7.6, SMALL_TITLE = 5.6, LEAST_TITLE = 4.6, SUBTITLE = 4.2,
                    LEAST_SUBTITLE = 3.2;
static const double KIND = 3.0, SHORT = 2.5, HEADING = 2.6, TEXT = CARD_TYPE;
static const double GAP = 6;     /* between the parts of a card */
static const double COLUMN = 44; /* the least width of a column of facts */
static const double PAIR = 25;   /* and of holes with their strands */

static const double BOLD = 1.22; /* how much wider bold type is, at the most */
static const double FOOT = 0.8;  /* of a line's size: from its top to where it stands */
static const double SAMPLE = 13; /* the length of an end's sample */
/* A drawing at its most is crowded: this much of it is looked for first. */
static const double COMFORT = 0.92;

/* Above a block, and from its heading to its first line; less where there is little room. */
struct spacing {
    double block, heading, pitch, turn; /* pitch: from line to line; turn: more where another end
                                           goes on */
};
static const struct spacing spacings[BRIEF_DEPTHS] = {
    {1.5, 3.5, 2.75, 0.4}, {2.6, 4.4, 2.85, 0.6}, {2.6, 4.4, 3.1, 0.8}, {2.6, 4.4, 3.1, 0.8}};

/* What is set so far. A dry one only measures. */
struct setting {
    struct card *card;
    struct arena *arena;
    struct spacing space;
    bool dry;
};

static struct card_mark *add_mark(const struct setting *s, enum card_mark_kind kind,
                                  const char *class_name, struct point at) {
    struct card_mark *mark = array_add(s->arena, &s->card->marks);
    *mark = (struct card_mark){.kind = kind, .class_name = class_name, .at = at};
    return mark;
}

static void set_text(const struct setting *s, const char *class_name, double x, double y,
                     double size, const char *text) {
    if (s->dry || text[0] == '\0') return;
    add_mark(s, MARK_TEXT, class_name, (struct point){x, y + size * FOOT})->text = text;
}

/* Ends at `x`. */
static void set_ending(const struct setting *s, const char *class_name, double x, double y,
                       double size, const char *text) {
    if (s->dry || text[0] == '\0') return;
    struct card_mark *mark = add_mark(s, MARK_TEXT, class_name, (struct point){x, y + size * FOOT});
    mark->text = text;
    mark->ends = true;
}

static void set_rule(const struct setting *s, const char *class_name, double x, double y,
                     double width) {
    if (s->dry) return;
    add_mark(s, MARK_RULE, class_name, (struct point){x, y})->to = (struct point){x + width, y};
}

/* A paragraph; gives back where the next line goes. */
static double set_lines(const struct setting *s, const char *class_name, double x, double y,
                        double width, double size, const char *text) {
    struct text_lines lines = break_text(s->arena, text, size, width);
    for (size_t i = 0; i < lines.lines.count; i++, y += s->space.pitch * size / TEXT)
        set_text(s, class_name, x, y, size, lines.lines.at[i]);
    return y;
}

/* ---- head and foot ---- */

/* A title shrinks to `least` where it is too long, then it is broken. */
static double set_title(const struct setting *s, const char *class_name, double y, double size,
                        double least, double width, const char *text) {
    double wide = text_width(text, size);
    if (wide > width) size = fmax(size * width / wide, least);
    struct text_lines lines = break_text(s->arena, text, size, width);
    for (size_t i = 0; i < lines.lines.count; i++, y += size * 1.3) {
        if (s->dry) continue;
        struct card_mark *mark =
            add_mark(s, MARK_TEXT, class_name, (struct point){0, y + size * FOOT});
        mark->text = lines.lines.at[i];
        mark->size = size;
    }
    return y;
}

static double set_head(const struct setting *s) {
    const struct brief *brief = s->card->subject->brief;
    double width = s->card->wish.width, kind = text_width(brief->kind, KIND);
    bool whole = s->card->wish.depth > BRIEF_LEAST;
    double least = s->card->wish.title, most = fmax(whole ? TITLE : SMALL_TITLE, least);
    double y = set_title(s, "card-title", 0, most, fmax(LEAST_TITLE, least), width, brief->title);
    double room = width - kind - GAP;
    bool beside = room > width / 2;
    double below = set_title(s, "card-subtitle", y, SUBTITLE, LEAST_SUBTITLE, beside ? room : width,
                             brief->subtitle);
    if (beside)
        set_ending(s, "card-kind", width, y + (SUBTITLE - KIND) * FOOT, KIND, brief->kind);
    else
        below = set_lines(s, "card-kind", 0, below, width, KIND, brief->kind);
    y = below;
    if (whole) y = set_lines(s, "card-short", 0, below + 0.8, width, SHORT, brief->shorthand);
    set_rule(s, "card-rule", 0, y + 1.2, width);
    return y + 1.2 + GAP * 0.6;
}

/* The cautions stand at the foot; gives back how much they take. */
static double set_foot(const struct setting *s) {
    const struct brief *brief = s->card->subject->brief;
    double width = s->card->wish.width;
    struct setting dry = *s;
    dry.dry = true;
    double height = set_lines(&dry, "", 0, 0, width, SHORT, brief->cautions);
    double y = s->card->wish.height - height;
    set_rule(s, "card-rule", 0, y - 1.6, width);
    set_lines(s, "card-caution", 0, y, width, SHORT, brief->cautions);
    return height + 1.6 + GAP * 0.6;
}

/* ---- facts ---- */

static double set_heading(const struct setting *s, double x, double y, const char *text) {
    set_text(s, "card-heading", x, y, HEADING, text);
    return y + s->space.heading;
}

static double set_pairs(const struct setting *s, const struct brief_block *block, double x,
                        double y, double width) {
    y = set_heading(s, x, y, block->heading);
    double label = 0;
    for (size_t i = 0; i < block->lines.count; i++)
        label = fmax(label, text_width(block->lines.at[i].label, TEXT));
    for (size_t i = 0; i < block->lines.count; i++) {
        set_text(s, "card-text", x, y, TEXT, block->lines.at[i].label);
        y = set_lines(s, "card-strong", x + label + 2, y, fmax(width - label - 2, 4) / BOLD, TEXT,
                      block->lines.at[i].text);
    }
    return y;
}

static double set_block(const struct setting *s, const struct brief_block *block, double x,
                        double y, double width) {
    y = set_heading(s, x, y, block->heading);
    double label = 0;
    for (size_t i = 0; i < block->lines.count; i++)
        if (block->lines.at[i].label != NULL)
            label = fmax(label, text_width(block->lines.at[i].label, TEXT) + 2);
    for (size_t i = 0; i < block->lines.count; i++) {
        const struct brief_line *line = &block->lines.at[i];
        if (line->label != NULL) set_text(s, "card-text", x, y, TEXT, line->label);
        y = set_lines(s, "card-text", x + label, y, width - label, TEXT, line->text);
    }
    return y;
}

/* Blocks of pairs stand side by side, as many as go; `*next` becomes the first block after them. */
static double set_pair_row(const struct setting *s, size_t *next, double x, double y,
                           double width) {
    const struct brief *brief = s->card->subject->brief;
    size_t first = *next, count = 0;
    while (first + count < brief->blocks.count && brief->blocks.at[first + count].in_pairs)
        count++;
    size_t most = (size_t)fmax(1, floor((width + 4) / (PAIR + 4)));
    if (count > most) count = most;
    double own = (width - 4 * (double)(count - 1)) / (double)count, foot = y;
    for (size_t i = 0; i < count; i++)
        foot = fmax(foot,
                    set_pairs(s, &brief->blocks.at[first + i], x + (double)i * (own + 4), y, own));
    *next = first + count;
    return foot;
}

/* ---- the key of the drawing ---- */

static double set_key_ends(const struct setting *s, double x, double y, double width) {
    const struct pattern *pattern = s->card->subject->brief->pattern;
    for (int e = 0; e < pattern->end_count; e++) {
        if (!s->dry) {
            struct card_mark *mark =
                add_mark(s, MARK_SAMPLE, NULL, (struct point){x, y + TEXT * 0.44});
            mark->number = e;
            mark->to = (struct point){SAMPLE, 0};
        }
        y = set_lines(s, "card-text", x + SAMPLE + 2, y, width - SAMPLE - 2, TEXT,
                      end_summary(pattern, e, s->arena)) +
            0.4;
    }
    return y;
}

static double set_key_signs(const struct setting *s, double x, double y, double width) {
    const double row = 4.0;
    const char *words[FIGURE_SIGNS];
    double cell = 0;
    for (int sign = 0; sign < FIGURE_SIGNS; sign++) {
        words[sign] = figure_sign_words(&s->card->figure, (enum figure_sign)sign);
        if (words[sign] != NULL) cell = fmax(cell, SIGN_WIDTH + 2 + text_width(words[sign], TEXT));
    }
    int columns = (int)fmax(1, floor((width + 3) / (cell + 3))), at = 0;
    for (int sign = 0; sign < FIGURE_SIGNS; sign++) {
        if (words[sign] == NULL) continue;
        double left = x + (at % columns) * (width + 3) / columns, top = y + (at / columns) * row;
        if (!s->dry)
            add_mark(s, MARK_SIGN, NULL, (struct point){left, top + row * 0.44})->number = sign;
        set_text(s, "card-text", left + SIGN_WIDTH + 2, top + row * 0.44 - TEXT * 0.44, TEXT,
                 words[sign]);
        at++;
    }
    return y + (at + columns - 1) / columns * row;
}

static double set_key(const struct setting *s, double x, double y, double width) {
    y = set_heading(s, x, y, "Key");
    y = set_key_ends(s, x, y, width);
    return set_key_signs(s, x, y + 0.4, width);
}

/* ---- facts in columns ---- */

/* Columns side by side, filled one after another. */
struct columns {
    double left, width, gap, top, bottom;
    int count;
};

static double column_left(const struct columns *c, int column) {
    return c->left + column * (c->width + c->gap);
}

/* One thing that is not parted: a row of hole lists, a block, the key. */
static double set_fact(const struct setting *s, size_t *next, double x, double y, double width) {
    const struct brief *brief = s->card->subject->brief;
    if (*next == brief->blocks.count) {
        ++*next;
        return set_key(s, x, y, width);
    }
    const struct brief_block *block = &brief->blocks.at[*next];
    if (block->in_pairs) return set_pair_row(s, next, x, y, width);
    ++*next;
    return set_block(s, block, x, y, width);
}

static bool is_told(const struct setting *s, size_t fact) {
    const struct brief *brief = s->card->subject->brief;
    return fact >= brief->blocks.count || brief->blocks.at[fact].from <= s->card->wish.depth;
}

/* What each fact takes in a column of that width, by the number it begins with; negative where none
 * begins. Worked out once for all columns as wide. */
struct fact_heights {
    double *at;
    size_t count;
};

static struct fact_heights measure_facts(const struct setting *s, double width) {
    struct setting dry = *s;
    dry.dry = true;
    struct fact_heights heights = {NULL, s->card->subject->brief->blocks.count + 1};
    heights.at = arena_many(s->arena, double, heights.count + 1);
    for (size_t fact = 0; fact < heights.count; fact++)
        heights.at[fact] = -1;
    for (size_t fact = 0, next; fact < heights.count; fact = next) {
        next = fact + 1;
        if (!is_told(s, fact)) continue;
        next = fact;
        double height = set_fact(&dry, &next, 0, 0, width);
        heights.at[fact] = height;
    }
    return heights;
}

/* Facts into columns, from a column and a height in it; false where they do not go in. */
static bool set_facts(const struct setting *s, const struct fact_heights *heights,
                      const struct columns *c, int column, double y) {
    for (size_t fact = 0; fact < heights->count; fact++) {
        double height = heights->at[fact];
        if (height < 0) continue;
        if (y + height > c->bottom + 0.01) {
            y = c->top;
            if (++column >= c->count || y + height > c->bottom + 0.01) return false;
        }
        size_t next = fact;
        if (!s->dry) set_fact(s, &next, column_left(c, column), y, c->width);
        y += height + s->space.block;
    }
    return true;
}

/* The least height at which the facts go into columns; infinite where they go into none. */
static double facts_height(const struct setting *s, struct columns c) {
    struct setting dry = *s;
    dry.dry = true;
    struct fact_heights heights = measure_facts(s, c.width);
    double low = 0, high = 400;
    c.top = 0;
    c.bottom = high;
    if (!set_facts(&dry, &heights, &c, 0, 0)) return INFINITY;
    while (high - low > 0.5) {
        c.bottom = (low + high) / 2;
        if (set_facts(&dry, &heights, &c, 0, 0))
            high = c.bottom;
        else
            low = c.bottom;
    }
    return high;
}

/* ---- steps ---- */

enum step_column {
    STEP_NUMBER,
    STEP_END,
    STEP_STRAND,
    STEP_WAY,
    STEP_FIRST,
    STEP_NTH,
    STEP_PULL,
    STEP_FORCE,
    STEP_HOLD,
    STEP_COLUMNS
};

/* A hold that is longer stands where the line has room for it, or below. */
static const double MOST_HOLD = 9;

struct steps {
    double at[STEP_COLUMNS]; /* where each column begins */
    double widths[STEP_COLUMNS];
    double width; /* of all */
};

/* Columns move apart, so that they take a width, but stay together enough to be read across. */
static struct steps stretched(struct steps steps, double width) {
    const double most = 2.4;
    double more = fmin(fmax(width - steps.width, 0) / (STEP_COLUMNS - 1), most);
    for (int c = 0; c < STEP_COLUMNS; c++) {
        /* the number of a pull stays beside its strand */
        int gaps = c <= STEP_NTH ? c : c - 1;
        steps.at[c] += gaps * more * (STEP_COLUMNS - 1) / (STEP_COLUMNS - 2);
    }
    steps.width += more * (STEP_COLUMNS - 1);
    return steps;
}

static bool tells_force(const struct setting *s) { return s->card->wish.depth > BRIEF_LEAST; }

static const char *step_text(const struct setting *s, const struct sheet_row *row,
                             enum step_column column) {
    switch (column) {
    case STEP_NUMBER: return format(s->arena, "%d", row->number);
    case STEP_END: return row->end;
    case STEP_STRAND: return row->strand != NULL ? row->strand : "";
    case STEP_WAY: return row->strand != NULL ? row->way : "";
    case STEP_FIRST: return row->first != NULL ? row->first : "";
    case STEP_NTH: return row->nth > 0 ? format(s->arena, "%d.", row->nth) : "";
    case STEP_PULL: return row->pulled != NULL ? row->pulled : "";
    case STEP_FORCE: return row->pulled != NULL && tells_force(s) ? row->force : "";
    case STEP_HOLD: return row->hold;
    case STEP_COLUMNS: break;
    }
    return "";
}

static const char *const step_heads[] = {"#",    "end", "",    "thread or weave", "first", "",
                                         "pull", "",    "then"};

static bool is_bold(enum step_column column) {
    return column == STEP_STRAND || column == STEP_PULL;
}

static const char *hold_text(const struct setting *s, const struct sheet_row *row) {
    return row->again ? format(s->arena, "pull again; %s", row->hold) : row->hold;
}

static bool is_long_hold(const struct sheet_row *row) {
    return row->again || text_width(row->hold, TEXT) > MOST_HOLD;
}

/* Where a long hold goes in the line itself: behind the last that stands there, if nothing is
 * pulled; negative where there is no room. */
static double hold_beside(const struct setting *s, const struct steps *steps,
                          const struct sheet_row *row) {
    if (row->pulled != NULL) return -1;
    enum step_column column = row->strand == NULL  ? STEP_STRAND
                              : row->first == NULL ? STEP_FIRST
                                                   : STEP_NTH;
    double room = steps->width - steps->at[column];
    return text_width(hold_text(s, row), TEXT) <= room ? steps->at[column] : -1;
}

static bool holds_apart(const struct setting *s, const struct steps *steps,
                        const struct sheet_row *row) {
    return is_long_hold(row) && hold_beside(s, steps, row) < 0;
}

static struct steps measure_steps(const struct setting *s) {
    static const double gaps[] = {1.6, 1.6, 1.4, 1.6, 1.8, 1.0, 1.2, 1.6, 0};
    const struct sheet *sheet = s->card->subject->brief->sheet;
    struct steps steps = {.width = 0};
    for (int c = 0; c < STEP_COLUMNS; c++) {
        double most = c == STEP_END || c == STEP_FIRST || c == STEP_HOLD
                          ? text_width(step_heads[c], TEXT)
                          : 0;
        for (size_t i = 0; i < sheet->rows.count; i++) {
            const struct sheet_row *row = &sheet->rows.at[i];
            if (c == STEP_HOLD && is_long_hold(row)) continue;
            double wide = text_width(step_text(s, row, (enum step_column)c), TEXT);
            most = fmax(most, is_bold((enum step_column)c) ? wide * BOLD : wide);
        }
        steps.at[c] = steps.width;
        steps.widths[c] = most;
        steps.width += most + (most > 0 ? gaps[c] : 0);
    }
    return steps;
}

/* What stands below a step's line: a hold too long for its column; lane and room. */
static double set_step_notes(const struct setting *s, const struct steps *steps,
                             const struct sheet_row *row, double x, double y, double width) {
    if (holds_apart(s, steps, row))
        y = set_lines(s, "card-text", x, y, width, TEXT, hold_text(s, row));
    if (s->card->wish.depth >= BRIEF_WHOLE && row->notes[0] != '\0')
        y = set_lines(s, "card-note", x, y, width, TEXT, row->notes);
    return y;
}

static double set_step(const struct setting *s, const struct steps *steps,
                       const struct sheet_row *row, double x, double y) {
    for (int c = 0; !s->dry && c < STEP_COLUMNS; c++) {
        enum step_column column = (enum step_column)c;
        if (column == STEP_HOLD && is_long_hold(row)) continue;
        const char *text = step_text(s, row, column);
        const char *class_name = is_bold(column) ? "card-strong" : "card-text";
        if (column == STEP_NUMBER || column == STEP_NTH)
            set_ending(s, class_name, x + steps->at[c] + steps->widths[c], y, TEXT, text);
        else
            set_text(s, class_name, x + steps->at[c], y, TEXT, text);
    }
    double indent = steps->at[STEP_STRAND], beside = hold_beside(s, steps, row);
    if (is_long_hold(row) && beside >= 0)
        set_text(s, "card-text", x + beside, y, TEXT, hold_text(s, row));
    return set_step_notes(s, steps, row, x + indent, y + s->space.pitch, steps->width - indent);
}

static double set_step_head(const struct setting *s, const struct steps *steps, double x,
                            double y) {
    for (int c = 0; c < STEP_COLUMNS; c++) {
        bool to_the_right = c == STEP_NUMBER;
        double left = x + steps->at[c == STEP_WAY ? STEP_STRAND : c];
        if (to_the_right)
            set_ending(s, "card-head", left + steps->widths[c], y, TEXT, step_heads[c]);
        else
            set_text(s, "card-head", left, y, TEXT, step_heads[c]);
    }
    set_rule(s, "card-line", x, y + TEXT * 1.35, steps->width);
    return y + TEXT * 1.35 + 1.1;
}

/* The place of the steps' last line, for what follows. */
struct filled {
    int column;
    double y, lowest;
};

/* Steps into columns, each with its head; a hairline where another end goes on. False where they do
 * not go in. */
static bool set_steps(const struct setting *s, const struct steps *measured,
                      const struct columns *c, struct filled *filled) {
    struct steps own = stretched(*measured, c->width), *steps = &own;
    struct setting dry = *s;
    dry.dry = true;
    const struct sheet *sheet = s->card->subject->brief->sheet;
    int column = 0;
    double x = column_left(c, 0), y = set_step_head(s, steps, x, c->top), top = y, lowest = y;
    for (size_t i = 0; i < sheet->rows.count; i++) {
        const struct sheet_row *row = &sheet->rows.at[i];
        double height = set_step(&dry, steps, row, 0, 0);
        bool turns = y > top && strcmp(row->end, sheet->rows.at[i - 1].end) != 0;
        if (turns) y += s->space.turn;
        if (y + height > c->bottom + 0.01) {
            if (++column >= c->count) return false;
            x = column_left(c, column);
            y = top = set_step_head(s, steps, x, c->top);
            if (y + height > c->bottom + 0.01) return false;
        } else if (turns) {
            double above = s->space.pitch - TEXT + s->space.turn;
            set_rule(s, "card-hair", x, y - above / 2 + 0.1, steps->width);
        }
        y = set_step(s, steps, row, x, y);
        lowest = fmax(lowest, y);
    }
    *filled = (struct filled){column, y, lowest};
    return true;
}

/* The least height at which the steps go into columns. */
static double steps_height(const struct setting *s, const struct steps *steps, struct columns c) {
    struct setting dry = *s;
    dry.dry = true;
    struct filled filled;
    double low = 0, high = 2000;
    c.top = 0;
    while (high - low > 0.1) {
        c.bottom = (low + high) / 2;
        if (set_steps(&dry, steps, &c, &filled))
            high = c.bottom;
        else
            low = c.bottom;
    }
    return high;
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
    double own = (width - GAP * (count - 1)) / count;
    return (struct columns){left, own, GAP, top, bottom, count};
}

/* Facts beside a drawing: the narrowest columns they go into at that height. */
static bool facts_beside(const struct setting *s, double width, double height,
                         struct columns *facts) {
    for (double wide = COLUMN; wide <= width - COLUMN; wide += 3) {
        int count = (int)floor((wide + GAP) / (COLUMN + GAP));
        *facts = split(0, 0, wide, height, count < 1 ? 1 : count);
        if (facts_height(s, *facts) <= height) return true;
    }
    return false;
}

/* Steps below, across the whole width. */
static struct way steps_below(const struct setting *s, const struct steps *steps, double top,
                              double bottom) {
    const struct figure_shape *shape = shape_of(s->card);
    struct way way = {.unit = INFINITY};
    double width = s->card->wish.width;
    int count = (int)floor((width + GAP) / (steps->width + GAP));
    if (count < 1) return way;
    struct columns below = split(0, 0, width, 0, count);
    double tall_steps = steps_height(s, steps, below), height = bottom - top - GAP - tall_steps;
    struct columns beside;
    if (height < COLUMN || !facts_beside(s, width, height, &beside)) return way;
    double sidebar = beside.count * (beside.width + GAP);
    way.unit = unit_for(shape, width - sidebar, height);
    if (isinf(way.unit)) return way;
    double taken = span_at(shape->width, way.unit) / way.unit,
           tall = span_at(shape->height, way.unit) / way.unit;
    double spare = width - taken - sidebar;
    /* What the drawing leaves goes to the facts, as far as they can use it, then around it. */
    double more = fmin(spare, 16 * beside.count);
    way.figure_at = (struct point){(spare - more) / 2, top};
    way.facts = split(taken + spare - more + GAP, top, width - taken - spare + more - GAP,
                      top + height, beside.count);
    below.top = top + fmax(tall, facts_height(s, way.facts)) + GAP;
    below.bottom = below.top + tall_steps + 0.2; /* as even as they go */
    way.steps = below;
    return way;
}

/* Steps to the right of the drawing, from top to bottom; facts below it. */
static struct way steps_beside(const struct setting *s, const struct steps *steps, double top,
                               double bottom, int columns) {
    const struct figure_shape *shape = shape_of(s->card);
    struct way way = {.unit = INFINITY};
    double taken = columns * (steps->width + GAP), width = s->card->wish.width - taken;
    struct columns right = {width + GAP, steps->width, GAP, top, bottom, columns};
    struct filled filled;
    struct setting dry = *s;
    dry.dry = true;
    if (width < COLUMN || !set_steps(&dry, steps, &right, &filled)) return way;
    int count = (int)floor((width + GAP) / (COLUMN + GAP));
    for (; count >= 1; count--) {
        struct columns facts = split(0, 0, width, 0, count);
        double height = facts_height(s, facts);
        double unit = unit_for(shape, width, bottom - top - GAP - height);
        if (unit >= way.unit) continue;
        way.unit = unit;
        double spare = width - span_at(shape->width, unit) / unit;
        way.figure_at = (struct point){spare / 2, top};
        facts.top = top + span_at(shape->height, unit) / unit + GAP;
        facts.bottom = bottom;
        way.facts = facts;
    }
    right.bottom = top + fmin(bottom - top, steps_height(s, steps, right) + 0.2);
    way.steps = right;
    return way;
}

/* Steps and then facts in columns to the right of the drawing. */
static struct way all_beside(const struct setting *s, const struct steps *steps, double top,
                             double bottom, int columns) {
    const struct figure_shape *shape = shape_of(s->card);
    struct way way = {.unit = INFINITY};
    double taken = columns * (steps->width + GAP), width = s->card->wish.width - taken;
    struct columns right = {width + GAP, steps->width, GAP, top, bottom, columns};
    struct filled filled;
    struct setting dry = *s;
    dry.dry = true;
    if (width < COLUMN || !set_steps(&dry, steps, &right, &filled)) return way;
    struct fact_heights heights = measure_facts(s, right.width);
    if (!set_facts(&dry, &heights, &right, filled.column, filled.y + s->space.block)) return way;
    way.unit = unit_for(shape, width, bottom - top);
    if (isinf(way.unit)) return way;
    double spare = width - span_at(shape->width, way.unit) / way.unit;
    way.figure_at = (struct point){spare / 2, top};
    way.steps = right;
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

static struct way best_way(const struct setting *s, const struct steps *steps, double top,
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

static struct layout *lay_out_drawn(const struct pattern *pattern, struct arena *arena, double unit,
                                    enum card_drawing drawing) {
    return lay_out_bare(pattern, arena, unit, drawing == DRAWN_WHOLE,
                        drawing == DRAWN_DENSE ? 1 : 2);
}

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

static struct setting setting_for(struct card *card, struct arena *arena, bool dry) {
    return (struct setting){card, arena, spacings[card->wish.depth], dry};
}

/* Leaves nothing in the arena. */
static struct way find_way(struct card *card, struct arena *arena, const struct steps *steps) {
    struct arena_mark mark = arena_mark(arena);
    struct setting dry = setting_for(card, arena, true);
    double top = set_head(&dry), bottom = card->wish.height - set_foot(&dry);
    double most = shape_of(card)->most * (card->wish.depth <= BRIEF_STEPS ? 1 : COMFORT);
    struct way way = best_way(&dry, steps, top, bottom, most);
    arena_rewind(arena, mark);
    if (way.unit > most) way.unit = INFINITY;
    return way;
}

bool card_goes(const struct card_subject *subject, struct arena *arena,
               const struct card_wish *wish) {
    struct arena_mark mark = arena_mark(arena);
    struct card *card = begin_card(subject, arena, wish, "");
    struct setting dry = setting_for(card, arena, true);
    struct steps steps = measure_steps(&dry);
    bool goes = !isinf(find_way(card, arena, &steps).unit);
    arena_rewind(arena, mark);
    return goes;
}

static void set_all_facts(const struct setting *s, const struct steps *steps,
                          const struct way *way) {
    const struct columns *columns = way->facts_follow ? &way->steps : &way->facts;
    struct fact_heights heights = measure_facts(s, columns->width);
    struct filled behind = {0, columns->top - s->space.block, 0};
    struct setting dry = *s;
    dry.dry = true;
    if (way->facts_follow) set_steps(&dry, steps, columns, &behind);
    set_facts(s, &heights, columns, behind.column, behind.y + s->space.block);
}

struct card *lay_out_card(const struct card_subject *subject, struct arena *arena,
                          const struct card_wish *wish, const char *prefix) {
    struct card *card = begin_card(subject, arena, wish, prefix);
    struct setting wet = setting_for(card, arena, false), *s = &wet;
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

/* ---- the drawing's shape ---- */

/* Of so many names one may lie on a crossing. */
static const int names_a_stray[CARD_DRAWINGS] = {12, 12, 3};

static struct area area_at(const struct pattern *pattern, struct arena *arena, double unit,
                           enum card_drawing drawing, bool *crowded) {
    struct arena_mark mark = arena_mark(arena);
    const struct layout *layout = lay_out_drawn(pattern, arena, unit, drawing);
    struct figure figure = {.layout = layout, .prefix = "", .bare = true};
    struct area area = figure_area(&figure);
    *crowded = layout->crowded || layout->strays * names_a_stray[drawing] >
                                      layout->names * pattern->frame->strand_count;
    arena_rewind(arena, mark);
    return area;
}

/* A drawing of few strands has room for its labels at any size: it stays one that is looked at. */
static const int most_rounds[CARD_DRAWINGS] = {12, 12, 24};

/* From the size of an A4 page upwards until labels have no place; the line through both sizes. */
static struct figure_shape shape_by(const struct pattern *pattern, struct arena *arena,
                                    enum card_drawing drawing) {
    const double step = 1.05;
    bool crowded = false;
    double least = pattern->frame->outline.length / 220, most = least * step;
    struct area small = area_at(pattern, arena, least, drawing, &crowded),
                large = area_at(pattern, arena, most, drawing, &crowded);
    for (int round = 0; !crowded && round < most_rounds[drawing]; round++) {
        struct area area = area_at(pattern, arena, most * step, drawing, &crowded);
        if (crowded) break;
        most *= step;
        large = area;
    }
    struct figure_span width = {0, (large.width - small.width) / (most - least)},
                       height = {0, (large.height - small.height) / (most - least)};
    width.from = small.width - width.by * least;
    height.from = small.height - height.by * least;
    return (struct figure_shape){width, height, most};
}

struct card_subject *card_subject_of(const struct pattern *pattern, struct arena *arena) {
    struct card_subject *subject = arena_one(arena, struct card_subject);
    subject->brief = brief_of(pattern, arena);
    for (int drawing = 0; drawing < CARD_DRAWINGS; drawing++)
        subject->shapes[drawing] = shape_by(pattern, arena, (enum card_drawing)drawing);
    return subject;
}
