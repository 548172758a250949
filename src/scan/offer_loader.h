#pragma once
// libvips' loaders that lie in modules of their own.

namespace scrapetrace::scan {

// Such modules take longer to load than most pages to read: none is, until this asks for the one that
// `loader`, a class of libvips, is in. Nothing happens where there is no such module. May be called from any
// thread, as often as one likes.
void offer_loader(const char* module, const char* loader);

}  // namespace scrapetrace::scan
