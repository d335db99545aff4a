/* Where paths lead, also those of folders that are still to be made. */
#ifndef SELVAGE_CLI_PLACE_H
#define SELVAGE_CLI_PLACE_H

#include <stdbool.h>

/* The path without links, "." and "..", as far as it exists. To be freed; NULL with errno. */
char *place_of(const char *path);

/* Whether a place is a folder, or lies in it. */
bool place_within(const char *place, const char *folder);

#endif
