/* What a catalogue wrote, by length and sum: a file that is not as it was written is somebody
 * else's by now. */
#ifndef SELVAGE_CLI_WROTE_H
#define SELVAGE_CLI_WROTE_H

#include "cli/manifest.h"
#include "cli/table.h"

#include <sys/stat.h>

struct wrote {
    struct table patterns; /* of which files were written */
    struct table files;    /* by pattern and page, with the digest; one may have several */
};

/* False where there is no memory. A pattern of "" stands for the folder of all, whose page 0 is the
 * index. */
bool wrote_add(struct wrote *wrote, const char *pattern, int page, struct digest digest);
bool wrote_add_all(struct wrote *wrote, const struct manifest *manifest);
void wrote_free(struct wrote *wrote);

bool wrote_this(const struct wrote *wrote, const char *pattern, int page, struct digest digest);

/* The digest of a file as it was written; {0}, which no file has, where none was. */
struct digest wrote_last(const struct wrote *wrote, const char *pattern, int page);

/* Notes what is known of a pattern's files in a manifest. False where there is no memory. */
bool wrote_note(const struct wrote *wrote, const char *pattern, struct manifest *manifest);

/* What a path leads to, links not followed. */
enum found_kind { FOUND_NOTHING, FOUND_FILE, FOUND_FOLDER, FOUND_LINK, FOUND_ELSE, FOUND_ERROR };

struct found {
    enum found_kind kind;
    struct digest digest; /* of a file */
    struct stat status;   /* where something is there */
};

/* errno for FOUND_ERROR. */
struct found find_kind(const char *path);
struct found find_file(const char *path); /* and its digest; {0} where nobody lets us read it */

#endif
