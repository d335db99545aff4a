/* The source map. */
#include "ground/source.h"

#include "ground/utf8.h"

#include <string.h>

enum { TAB_STOP = 8, MARK_EVERY = 4096 };

struct source_map source_map_in(struct arena *arena) {
    return (struct source_map){.arena = arena, .next = 1};
}

struct source *source_add(struct source_map *map, const char *name, const char *bytes,
                          size_t length) {
    struct source *source = arena_one(map->arena, struct source);
    source->name = arena_copy(map->arena, name, strlen(name));
    source->bytes = arena_try_raw(map->arena, length + 2);
    if (source->bytes == NULL) arena_escape(map->arena);
    if (length > 0) memcpy(source->bytes, bytes, length);
    source->bytes[length] = source->bytes[length + 1] = '\0';
    source->length = length;
    source->base = map->next;
    map->next += (uint32_t)length + 1;
    *array_add(map->arena, &map->sources) = source;
    return source;
}

struct source *source_at(const struct source_map *map, uint32_t position) {
    if (position == 0) return NULL;
    for (size_t i = map->sources.count; i-- > 0;)
        if (position >= map->sources.at[i]->base) return map->sources.at[i];
    return NULL;
}

/* Counts on over the character at `mark`. */
static void step(const struct source *source, struct source_mark *mark) {
    char byte = source->bytes[mark->offset];
    if (byte == '\n') {
        mark->offset++;
        *mark = (struct source_mark){mark->offset, mark->offset, mark->line + 1, 0, 0};
        return;
    }
    size_t length = 1;
    uint32_t c = (unsigned char)byte;
    if (c >= 0x80)
        c = utf8_decode(source->bytes + mark->offset, source->length - mark->offset, &length);
    mark->display = c == '\t'       ? (mark->display / TAB_STOP + 1) * TAB_STOP
                    : c == UTF8_BAD ? mark->display + 1
                                    : mark->display + (uint32_t)utf8_columns(c);
    mark->column++;
    mark->offset += (uint32_t)length;
}

static void find_marks(const struct source_map *map, struct source *source) {
    source->marks = arena_many(map->arena, struct source_mark, source->length / MARK_EVERY + 2);
    struct source_mark mark = {0};
    while (true) {
        source->marks[source->mark_count++] = mark;
        uint32_t next = mark.offset + MARK_EVERY;
        if (next >= source->length) return;
        while (mark.offset < next)
            step(source, &mark);
    }
}

/* The last mark at or before an offset. */
static struct source_mark mark_before(const struct source *source, uint32_t offset) {
    size_t low = 0, high = source->mark_count;
    while (high - low > 1) {
        size_t middle = (low + high) / 2;
        if (source->marks[middle].offset <= offset)
            low = middle;
        else
            high = middle;
    }
    return source->marks[low];
}

struct source_place source_place(const struct source_map *map, uint32_t position) {
    struct source *source = source_at(map, position);
    if (source == NULL) return (struct source_place){0};
    if (source->marks == NULL) find_marks(map, source);
    uint32_t offset = position - source->base;
    struct source_mark mark = mark_before(source, offset);
    while (mark.offset < offset && mark.offset < source->length)
        step(source, &mark);
    return (struct source_place){source, (size_t)mark.line + 1, (size_t)mark.column + 1,
                                 (size_t)mark.display + 1};
}

const char *source_line(const struct source_map *map, struct source *source, size_t line,
                        size_t *length) {
    if (source->marks == NULL) find_marks(map, source);
    size_t low = 0, high = source->mark_count;
    while (high - low > 1) { /* the last mark in a line before, or the first mark */
        size_t middle = (low + high) / 2;
        if (source->marks[middle].line + 1 < line)
            low = middle;
        else
            high = middle;
    }
    const struct source_mark *mark = &source->marks[low];
    bool before = mark->line + 1 < line;
    const char *at = source->bytes + (before ? mark->offset : mark->line_start);
    const char *end = source->bytes + source->length;
    for (size_t at_line = mark->line + 1; at_line < line; at_line++) {
        const char *feed = memchr(at, '\n', (size_t)(end - at));
        if (feed == NULL) break;
        at = feed + 1;
    }
    const char *feed = memchr(at, '\n', (size_t)(end - at));
    if (feed == NULL) feed = end;
    *length = (size_t)(feed - at);
    if (*length > 0 && at[*length - 1] == '\r') --*length;
    return at;
}

size_t source_near_column(const struct source *source, const char *line, size_t wanted,
                          size_t *display) {
    uint32_t start = (uint32_t)(line - source->bytes);
    size_t low = 0, high = source->mark_count; /* marks of later lines are beyond */
    while (high - low > 1) {
        size_t middle = (low + high) / 2;
        const struct source_mark *mark = &source->marks[middle];
        bool before =
            mark->line_start < start || (mark->line_start == start && mark->display <= wanted);
        if (before)
            low = middle;
        else
            high = middle;
    }
    bool here = source->marks[low].line_start == start && source->marks[low].display <= wanted;
    *display = here ? source->marks[low].display : 0;
    return here ? source->marks[low].offset - start : 0;
}
