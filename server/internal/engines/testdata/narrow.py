# A window of WebKitGTK as narrow as a phone, with nothing around the page, which
# WebKitWebDriver drives: the small browser that comes with WebKitGTK is never narrower
# than its buttons. It keeps nothing on the disk, as a private window of a phone.
import sys

import gi

gi.require_version("Gtk", "3.0")
gi.require_version("WebKit2", "4.1")
from gi.repository import Gtk, WebKit2

context = WebKit2.WebContext.new_ephemeral()
context.set_automation_allowed(True)


def view(_):
    window, page = Gtk.Window(), WebKit2.WebView(web_context=context, is_controlled_by_automation=True)
    page.get_settings().set_enable_javascript_markup("--scripts=true" in sys.argv)
    window.set_default_size(360, 640)
    window.add(page)
    window.show_all()
    return page


context.connect("automation-started", lambda _, session: session.connect("create-web-view", view))
Gtk.main()
