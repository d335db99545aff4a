/* The steps of a card: one line each where it goes, in columns that are measured over all of them.
 */
#include "emit/cardset.h"
#include "emit/type.h"

#include <math.h>
#include <string.h>

/* A hold that is longer stands where the line has room for it, or below. */
static const double MOST_HOLD = 9;

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

static bool tells_force(const struct card_setting *s) { return s->card->wish.depth >= BRIEF_TWICE; }

static const char *step_text(const struct card_setting *s, const struct sheet_row *row,
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

static const char *hold_text(const struct card_setting *s, const struct sheet_row *row) {
    return row->again ? format(s->arena, "pull again; %s", row->hold) : row->hold;
}

static bool is_long_hold(const struct sheet_row *row) {
    return row->again || text_width(row->hold, CARD_TYPE) > MOST_HOLD;
}

/* Where a long hold goes in the line itself: behind the last that stands there, if nothing is
 * pulled; negative where there is no room. */
static double hold_beside(const struct card_setting *s, const struct steps *steps,
                          const struct sheet_row *row) {
    if (row->pulled != NULL) return -1;
    enum step_column column = row->strand == NULL  ? STEP_STRAND
                              : row->first == NULL ? STEP_FIRST
                                                   : STEP_NTH;
    double room = steps->width - steps->at[column];
    return text_width(hold_text(s, row), CARD_TYPE) <= room ? steps->at[column] : -1;
}

static bool holds_apart(const struct card_setting *s, const struct steps *steps,
                        const struct sheet_row *row) {
    return is_long_hold(row) && hold_beside(s, steps, row) < 0;
}

struct steps measure_steps(const struct card_setting *s) {
    static const double gaps[] = {1.6, 1.6, 1.4, 1.6, 1.8, 1.0, 1.2, 1.6, 0};
    const struct sheet *sheet = s->card->subject->brief->sheet;
    struct steps steps = {.width = 0};
    for (int c = 0; c < STEP_COLUMNS; c++) {
        double most = c == STEP_END || c == STEP_FIRST || c == STEP_HOLD
                          ? text_width(step_heads[c], CARD_TYPE)
                          : 0;
        for (size_t i = 0; i < sheet->rows.count; i++) {
            const struct sheet_row *row = &sheet->rows.at[i];
            if (c == STEP_HOLD && is_long_hold(row)) continue;
            double wide = text_width(step_text(s, row, (enum step_column)c), CARD_TYPE);
            most = fmax(most, is_bold((enum step_column)c) ? wide * CARD_BOLD : wide);
        }
        steps.at[c] = steps.width;
        steps.widths[c] = most;
        steps.width += most + (most > 0 ? gaps[c] : 0);
    }
    return steps;
}

/* What stands below a step's line: a hold too long for its column; lane and room. */
static double set_step_notes(const struct card_setting *s, const struct steps *steps,
                             const struct sheet_row *row, double x, double y, double width) {
    if (holds_apart(s, steps, row))
        y = set_lines(s, "card-text", x, y, width, CARD_TYPE, hold_text(s, row));
    if (s->card->wish.depth >= BRIEF_HANDS && row->notes[0] != '\0')
        y = set_lines(s, "card-note", x, y, width, CARD_TYPE, row->notes);
    return y;
}

static double set_step(const struct card_setting *s, const struct steps *steps,
                       const struct sheet_row *row, double x, double y) {
    for (int c = 0; !s->dry && c < STEP_COLUMNS; c++) {
        enum step_column column = (enum step_column)c;
        if (column == STEP_HOLD && is_long_hold(row)) continue;
        const char *text = step_text(s, row, column);
        const char *class_name = is_bold(column) ? "card-strong" : "card-text";
        if (column == STEP_NUMBER || column == STEP_NTH)
            set_ending(s, class_name, x + steps->at[c] + steps->widths[c], y, CARD_TYPE, text);
        else
            set_text(s, class_name, x + steps->at[c], y, CARD_TYPE, text);
    }
    double indent = steps->at[STEP_STRAND], beside = hold_beside(s, steps, row);
    if (is_long_hold(row) && beside >= 0)
        set_text(s, "card-text", x + beside, y, CARD_TYPE, hold_text(s, row));
    return set_step_notes(s, steps, row, x + indent, y + s->space.pitch, steps->width - indent);
}

static double set_step_head(const struct card_setting *s, const struct steps *steps, double x,
                            double y) {
    for (int c = 0; c < STEP_COLUMNS; c++) {
        bool to_the_right = c == STEP_NUMBER;
        double left = x + steps->at[c == STEP_WAY ? STEP_STRAND : c];
        if (to_the_right)
            set_ending(s, "card-head", left + steps->widths[c], y, CARD_TYPE, step_heads[c]);
        else
            set_text(s, "card-head", left, y, CARD_TYPE, step_heads[c]);
    }
    set_rule(s, "card-line", x, y + CARD_TYPE * 1.35, steps->width);
    return y + CARD_TYPE * 1.35 + 1.1;
}

bool set_steps(const struct card_setting *s, const struct steps *measured, const struct columns *c,
               struct filled *filled) {
    struct steps own = stretched(*measured, c->width), *steps = &own;
    struct card_setting dry = *s;
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
            double above = s->space.pitch - CARD_TYPE + s->space.turn;
            set_rule(s, "card-hair", x, y - above / 2 + 0.1, steps->width);
        }
        y = set_step(s, steps, row, x, y);
        lowest = fmax(lowest, y);
    }
    *filled = (struct filled){column, y, lowest};
    return true;
}

double steps_height(const struct card_setting *s, const struct steps *steps, struct columns c) {
    struct card_setting dry = *s;
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
