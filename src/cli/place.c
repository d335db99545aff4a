/* Places by realpath. */
#define _XOPEN_SOURCE 700
#include "cli/place.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

static char *joined(const char *folder, const char *rest) {
    size_t length = strlen(folder);
    char *path = malloc(length + strlen(rest) + 2);
    if (path == NULL) return NULL;
    strcpy(path, folder);
    if (*rest != '\0' && (length == 0 || folder[length - 1] != '/')) strcat(path, "/");
    return strcat(path, rest);
}

char *place_of(const char *path) {
    char *whole = realpath(path, NULL);
    if (whole != NULL || errno != ENOENT) return whole;
    size_t length = strlen(path);
    while (length > 0 && path[length - 1] == '/')
        length--;
    while (length > 0 && path[length - 1] != '/')
        length--;
    char *above = strdup(path);
    if (above == NULL) return NULL;
    above[length] = '\0';
    char *folder = *path == '\0' ? NULL : place_of(length > 0 ? above : ".");
    char *place = folder != NULL ? joined(folder, path + length) : NULL;
    int error = errno;
    free(folder);
    free(above);
    errno = error;
    return place;
}

bool place_within(const char *place, const char *folder) {
    size_t length = strlen(folder);
    while (length > 0 && folder[length - 1] == '/')
        length--;
    return strncmp(place, folder, length) == 0 && (place[length] == '/' || place[length] == '\0');
}
