/* Sides exchanged, word by word. */
#include "resolve/mirror.h"

enum side assumed_long_side(const struct frame *frame) {
    enum side shorter = frame->short_side.side;
    return shorter == SIDE_UNSAID ? SIDE_RIGHT : other_side(shorter);
}

static const struct tree_line *pieces_of(const struct tree_definition *pattern) {
    for (const struct tree_line *line = pattern->lines; line != NULL; line = line->next)
        if (line->kind == LINE_PIECES) return line;
    return NULL;
}

bool wants_mirror(struct library *library, const struct tree_definition *pattern,
                  const struct frame *frame, const struct wishes *wishes) {
    if (wishes->mirror || wishes->long_side == SIDE_UNSAID) return wishes->mirror;
    const struct tree_line *pieces = pieces_of(pattern);
    bool two = pieces != NULL && pieces->as.pieces.count == 2;
    if (two && wishes->where_any) return false;
    if (two) {
        struct finding *finding =
            report_add(library->report, RULE_end_of_other_pieces, pieces->span,
                       "there is no long end in two pieces, so no long side to put on the %s",
                       side_word(wishes->long_side));
        finding_help(library->report, finding,
                     "--mirror exchanges the sides of a pattern of one piece or two");
        return false;
    }
    enum side side = pieces != NULL ? pieces->as.pieces.long_side.side : SIDE_UNSAID;
    if (side == SIDE_UNSAID && (frame == NULL || !frame->mapped)) return false;
    if (side == SIDE_UNSAID) side = assumed_long_side(frame);
    return side != wishes->long_side;
}

/* ---- the copy ---- */

/* Puts a copy of every part of a list in its place. */
#define COPY_LIST(arena, type, list)                                                               \
    for (type **at = &(list); *at != NULL; at = &(*at)->next) {                                    \
        type *copy = arena_one(arena, type);                                                       \
        *copy = **at;                                                                              \
        *at = copy;                                                                                \
    }

static void exchange(enum side *side) { *side = other_side(*side); }

static void exchange_end(enum end_name *end) {
    *end = *end == END_LEFT ? END_RIGHT : *end == END_RIGHT ? END_LEFT : *end;
}

static void mirror_item(struct tree_item *item) {
    switch (item->kind) {
    case ITEM_STRANDS:
        exchange(&item->strands.side);
        exchange(&item->from_side);
        break;
    case ITEM_START:
    case ITEM_TIE: exchange(&item->hole.side); break;
    case ITEM_OPTION: break;
    }
}

static void mirror_line(struct arena *arena, struct tree_line *line) {
    switch (line->kind) {
    case LINE_PIECES: exchange(&line->as.pieces.long_side.side); break;
    case LINE_TENSION:
        COPY_LIST(arena, struct tree_pull, line->as.tension)
        for (struct tree_pull *pull = line->as.tension; pull != NULL; pull = pull->next)
            exchange(&pull->strands.side);
        break;
    case LINE_MAINS:
        COPY_LIST(arena, struct tree_mains_part, line->as.mains.parts)
        for (struct tree_mains_part *p = line->as.mains.parts; p != NULL; p = p->next)
            if (p->kind == MAINS_FIRST) exchange_end(&p->first.end);
        break;
    case LINE_CROSSES: exchange_end(&line->as.crosses.by.end); break;
    case LINE_HOLD:
        exchange_end(&line->as.hold.by.end);
        COPY_LIST(arena, struct tree_strands_list, line->as.hold.strands)
        for (struct tree_strands_list *s = line->as.hold.strands; s != NULL; s = s->next)
            exchange(&s->strands.side);
        break;
    case LINE_LEG:
        exchange_end(&line->as.leg.end.end);
        COPY_LIST(arena, struct tree_item, line->as.leg.items)
        for (struct tree_item *item = line->as.leg.items; item != NULL; item = item->next)
            mirror_item(item);
        break;
    default: break;
    }
}

struct tree_definition *mirror_pattern(struct arena *arena, const struct tree_definition *pattern) {
    struct tree_definition *mirrored = arena_one(arena, struct tree_definition);
    *mirrored = *pattern;
    COPY_LIST(arena, struct tree_line, mirrored->lines)
    for (struct tree_line *line = mirrored->lines; line != NULL; line = line->next)
        mirror_line(arena, line);
    return mirrored;
}
