/* The source map. */
#include "ground/source.h"

#include "ground/utf8.h"

#include <string.h>

enum { TAB_STOP = 8 };

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

static void find_lines(const struct source_map *map, struct source *source) {
    size_t count = 1;
    for (size_t i = 0; i < source->length; i++)
        count += source->bytes[i] == '\n';
    source->lines = arena_many(map->arena, uint32_t, count);
    source->line_count = count;
    size_t line = 1;
    for (size_t i = 0; i < source->length; i++)
        if (source->bytes[i] == '\n') source->lines[line++] = (uint32_t)i + 1;
}

struct source_place source_place(const struct source_map *map, uint32_t position) {
    struct source *source = source_at(map, position);
    if (source == NULL) return (struct source_place){0};
    if (source->lines == NULL) find_lines(map, source);
    uint32_t offset = position - source->base;
    size_t low = 0, high = source->line_count;
    while (high - low > 1) {
        size_t middle = (low + high) / 2;
        if (source->lines[middle] <= offset)
            low = middle;
        else
            high = middle;
    }
    struct source_place place = {.source = source, .line = low + 1, .column = 1};
    size_t columns = 0;
    for (size_t at = source->lines[low], length; at < offset; at += length) {
        uint32_t c = utf8_decode(source->bytes + at, source->length - at, &length);
        columns = c == '\t' ? (columns / TAB_STOP + 1) * TAB_STOP
                            : columns + (size_t)(c == UTF8_BAD ? 1 : utf8_columns(c));
        place.column++;
    }
    place.display = columns + 1;
    return place;
}

const char *source_line(const struct source_map *map, struct source *source, size_t line,
                        size_t *length) {
    if (source->lines == NULL) find_lines(map, source);
    size_t start = source->lines[line - 1];
    size_t end = line < source->line_count ? source->lines[line] - 1 : source->length;
    if (end > start && source->bytes[end - 1] == '\r') end--;
    *length = end - start;
    return source->bytes + start;
}
