/* Marks on a card. */
#include "emit/cardset.h"
#include "emit/type.h"

struct card_mark *add_mark(const struct card_setting *s, enum card_mark_kind kind,
                           const char *class_name, struct point at) {
    struct card_mark *mark = array_add(s->arena, &s->card->marks);
    *mark = (struct card_mark){.kind = kind, .class_name = class_name, .at = at};
    return mark;
}

void set_text(const struct card_setting *s, const char *class_name, double x, double y, double size,
              const char *text) {
    if (s->dry || text[0] == '\0') return;
    add_mark(s, MARK_TEXT, class_name, (struct point){x, y + size * CARD_FOOT})->text = text;
}

/* Ends at `x`. */
void set_ending(const struct card_setting *s, const char *class_name, double x, double y,
                double size, const char *text) {
    if (s->dry || text[0] == '\0') return;
    struct card_mark *mark =
        add_mark(s, MARK_TEXT, class_name, (struct point){x, y + size * CARD_FOOT});
    mark->text = text;
    mark->ends = true;
}

void set_rule(const struct card_setting *s, const char *class_name, double x, double y,
              double width) {
    if (s->dry) return;
    add_mark(s, MARK_RULE, class_name, (struct point){x, y})->to = (struct point){x + width, y};
}

/* A paragraph; gives back where the next line goes. */
double set_lines(const struct card_setting *s, const char *class_name, double x, double y,
                 double width, double size, const char *text) {
    struct text_lines lines = break_text(s->arena, text, size, width);
    for (size_t i = 0; i < lines.lines.count; i++, y += s->space.pitch * size / CARD_TYPE)
        set_text(s, class_name, x, y, size, lines.lines.at[i]);
    return y;
}
