/* The facts of a card: lists of holes side by side, blocks with their headings, the key of the
 * drawing; into columns, none parted. */
#include "emit/cardset.h"
#include "emit/type.h"

#include <math.h>

/* Units of type. */
static const double HEADING = 2.6;
static const double PAIR = 25;   /* the least width of a list of holes */
static const double SAMPLE = 13; /* the length of an end's sample */

static double set_heading(const struct card_setting *s, double x, double y, const char *text) {
    set_text(s, "card-heading", x, y, HEADING, text);
    return y + s->space.heading;
}

static double set_pairs(const struct card_setting *s, const struct brief_block *block, double x,
                        double y, double width) {
    y = set_heading(s, x, y, block->heading);
    double label = 0;
    for (size_t i = 0; i < block->lines.count; i++)
        label = fmax(label, text_width(block->lines.at[i].label, CARD_TYPE));
    for (size_t i = 0; i < block->lines.count; i++) {
        set_text(s, "card-text", x, y, CARD_TYPE, block->lines.at[i].label);
        y = set_lines(s, "card-strong", x + label + 2, y, fmax(width - label - 2, 4) / CARD_BOLD,
                      CARD_TYPE, block->lines.at[i].text);
    }
    return y;
}

static double set_block(const struct card_setting *s, const struct brief_block *block, double x,
                        double y, double width) {
    y = set_heading(s, x, y, block->heading);
    double label = 0;
    for (size_t i = 0; i < block->lines.count; i++)
        if (block->lines.at[i].label != NULL)
            label = fmax(label, text_width(block->lines.at[i].label, CARD_TYPE) + 2);
    for (size_t i = 0; i < block->lines.count; i++) {
        const struct brief_line *line = &block->lines.at[i];
        if (line->label != NULL) set_text(s, "card-text", x, y, CARD_TYPE, line->label);
        y = set_lines(s, "card-text", x + label, y, width - label, CARD_TYPE, line->text);
    }
    return y;
}

/* Blocks of pairs stand side by side, as many as go; `*next` becomes the first block after them. */
static double set_pair_row(const struct card_setting *s, size_t *next, double x, double y,
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

static double set_key_ends(const struct card_setting *s, double x, double y, double width) {
    const struct pattern *pattern = s->card->subject->brief->pattern;
    for (int e = 0; e < pattern->end_count; e++) {
        if (!s->dry) {
            struct card_mark *mark =
                add_mark(s, MARK_SAMPLE, NULL, (struct point){x, y + CARD_TYPE * 0.44});
            mark->number = e;
            mark->to = (struct point){SAMPLE, 0};
        }
        y = set_lines(s, "card-text", x + SAMPLE + 2, y, width - SAMPLE - 2, CARD_TYPE,
                      end_summary(pattern, e, s->arena)) +
            0.4;
    }
    return y;
}

static double set_key_signs(const struct card_setting *s, double x, double y, double width) {
    const double row = 4.0;
    const char *words[FIGURE_SIGNS];
    double cell = 0;
    for (int sign = 0; sign < FIGURE_SIGNS; sign++) {
        words[sign] = figure_sign_words(&s->card->figure, (enum figure_sign)sign);
        if (words[sign] != NULL)
            cell = fmax(cell, SIGN_WIDTH + 2 + text_width(words[sign], CARD_TYPE));
    }
    int columns = (int)fmax(1, floor((width + 3) / (cell + 3))), at = 0;
    for (int sign = 0; sign < FIGURE_SIGNS; sign++) {
        if (words[sign] == NULL) continue;
        double left = x + (at % columns) * (width + 3) / columns, top = y + (at / columns) * row;
        if (!s->dry)
            add_mark(s, MARK_SIGN, NULL, (struct point){left, top + row * 0.44})->number = sign;
        set_text(s, "card-text", left + SIGN_WIDTH + 2, top + row * 0.44 - CARD_TYPE * 0.44,
                 CARD_TYPE, words[sign]);
        at++;
    }
    return y + (at + columns - 1) / columns * row;
}

static double set_key(const struct card_setting *s, double x, double y, double width) {
    y = set_heading(s, x, y, "Key");
    y = set_key_ends(s, x, y, width);
    return set_key_signs(s, x, y + 0.4, width);
}

/* ---- facts in columns ---- */

/* One thing that is not parted: a row of hole lists, a block, the key. */
static double set_fact(const struct card_setting *s, size_t *next, double x, double y,
                       double width) {
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

static bool is_told(const struct card_setting *s, size_t fact) {
    const struct brief *brief = s->card->subject->brief;
    return fact >= brief->blocks.count || brief->blocks.at[fact].from <= s->card->wish.depth;
}

struct fact_heights measure_facts(const struct card_setting *s, double width) {
    struct card_setting dry = *s;
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

bool set_facts(const struct card_setting *s, const struct fact_heights *heights,
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

double facts_height(const struct card_setting *s, struct columns c) {
    struct card_setting dry = *s;
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
